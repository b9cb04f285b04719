import { describe, expect, it } from "vitest";
import { GrowingTable } from "../../src/parsers/growing-table.js";

const FULL = new Error("full");

function fill(table: GrowingTable, rows: number): void {
  for (let row = 0; row < rows; row += 1) {
    const [a, b] = table.openRow();
    a?.fill(row, table.rows, table.rows + 1);
    b?.fill(9 - row, table.rows, table.rows + 1);
    table.closeRow();
  }
}

describe("GrowingTable", () => {
  it.each([0, 1, 1024, 1025, 5000])("holds %d rows", (rows) => {
    const table = new GrowingTable(2, { most: Infinity, full: () => FULL });
    fill(table, rows);
    expect(table.rows).toBe(rows);
    const taken = table.column(0).take();
    expect([...taken]).toEqual(Array.from({ length: rows }, (_, row) => row));
    expect([...table.column(1).take()]).toEqual([...taken].map((value) => 9 - value));
  });

  it("forgets a row that was not closed", () => {
    const table = new GrowingTable(1, { most: Infinity, full: () => FULL });
    table.openRow()[0]?.fill(7, 0, 1);
    table.openRow()[0]?.fill(8, 0, 1);
    table.closeRow();
    expect([...table.column(0).take()]).toEqual([8]);
  });

  it("hands a column over once", () => {
    const table = new GrowingTable(1, { most: Infinity, full: () => FULL });
    fill(table, 3);
    const column = table.column(0);
    expect(column.take()).toHaveLength(3);
    expect(column.take()).toHaveLength(0);
  });

  it.each([3, 1024, 1030])("takes %d rows where that is the most, and throws at one more", (most) => {
    const table = new GrowingTable(1, { most, full: () => FULL });
    fill(table, most);
    expect(() => table.openRow()).toThrow(FULL);
    expect(table.column(0).take()).toHaveLength(most);
  });
});
