import { visible } from "./visible.js";

const ENTITIES: Readonly<Record<string, string>> = {
  "&": "&amp;",
  "<": "&lt;",
  ">": "&gt;",
  '"': "&quot;",
  "'": "&#39;",
};

/** @returns text for an attribute or an element of XML, HTML or SVG; what XML 1.0 cannot hold is written out */
export function xmlText(text: string): string {
  return visible(text).replace(/[&<>"']/g, (sign) => ENTITIES[sign] ?? sign);
}
