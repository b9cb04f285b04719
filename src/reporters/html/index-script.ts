/** Sorts the index by any of its columns; without it the worst come first. */
export const INDEX_SCRIPT = `"use strict";
(() => {
  for (const table of document.querySelectorAll("table[data-sortable]")) {
    const body = table.tBodies[0];
    for (const head of table.querySelectorAll("th[data-column]")) {
      const column = Number(head.dataset.column);
      const isNumber = head.dataset.kind === "number";
      const button = document.createElement("button");
      button.type = "button";
      button.textContent = head.textContent;
      head.replaceChildren(button);
      button.addEventListener("click", () => {
        const isUp = head.getAttribute("aria-sort") !== "ascending";
        for (const other of table.querySelectorAll("th[data-column]")) other.removeAttribute("aria-sort");
        head.setAttribute("aria-sort", isUp ? "ascending" : "descending");
        const keyed = [...body.rows].map((row) => ({ row, key: row.cells[column].dataset.sort }));
        keyed.sort((a, b) => {
          // What has no value stays at the end, whichever way it is sorted.
          if ((a.key === "") !== (b.key === "")) return a.key === "" ? 1 : -1;
          const order = isNumber ? Number(a.key) - Number(b.key) : Number(a.key > b.key) - Number(a.key < b.key);
          return isUp ? order : -order;
        });
        body.append(...keyed.map(({ row }) => row));
      });
    }
  }
})();
`;
