import { htmlSignoff, jsonText, signoffMarkdown, type SignoffRecord, signoffText, type TextOptions } from "../index.js";
import type { Placed } from "./output.js";

/** A format of `signoff`. */
export interface SignoffFormat extends Placed {
  /** @param look of text; colour and width are those of where it goes */
  readonly render: (record: SignoffRecord, look: TextOptions) => string | Promise<string>;
}

/** Every format of `signoff`, in the order of help. */
export const SIGNOFF_FORMATS: readonly SignoffFormat[] = [
  { id: "text", fileName: "signoff.txt", render: signoffText },
  { id: "json", fileName: "signoff.json", render: (record) => `${jsonText(record, 2)}\n` },
  { id: "markdown", fileName: "signoff.md", render: signoffMarkdown },
  { id: "html", fileName: "signoff.html", render: (record) => htmlSignoff(record) },
];
