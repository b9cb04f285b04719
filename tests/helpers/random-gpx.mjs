// Random GPX documents, well-formed and broken, with every oddity that XML allows in and around a track point. Used by the
// fuzzing of the fast lane, in the suite and in the long run: one seed gives one document, on every machine.
import { randomOf } from "./random-csv.mjs";

const ODD_VALUES = [
  "",
  " ",
  " 12.5 ",
  "\t12.5\n",
  "12\n.5",
  "12\r\n5",
  "N/A",
  "-0",
  "+7",
  "5.",
  ".5",
  "-",
  "1e3",
  "0x1F",
  "Infinity",
  "1,234.5",
  "9007199254740993",
  "0.1234567890123456789",
  "1e9",
  "9999999999",
  "99999",
  "-99999",
  "3D",
  "dgps",
  "none",
  "true",
  "é",
  "١٢",
  "12\u00a0",
  "a > b",
  "]]",
  "]]>",
  "&amp;",
  "&lt;12",
  "&#49;2",
  "&nbsp;",
  "&",
  "&;",
  "<![CDATA[12.5]]>",
  "1<!-- no -->2",
  "<!-- <trkpt lat='1' lon='2'> -->7",
  "<?pi 1 ?>3",
  "<b/>",
  "<b>4</b>",
  "<b>4</b>5",
  "<b>\n<c>6</c></b>",
  "x".repeat(199),
  `1${" ".repeat(198)}2`,
  " ".repeat(300),
  `${" ".repeat(199)}78`,
  "\u0001",
  "\u007f",
  "\u0085",
  "\u{1F600}",
  "\uFFFF",
];
const SNIPPETS = [
  "<",
  ">",
  "&",
  "&amp;",
  "&nope;",
  '"',
  "'",
  "/",
  "\r",
  "\n",
  "\r\n",
  " ",
  "]]>",
  "<!-- a -->",
  "<!-- -- -->",
  "<!--",
  "-->",
  "<![CDATA[",
  "]]>",
  "<?pi?>",
  "<?xml version='1.0'?>",
  "<a>",
  "</a>",
  "<a/>",
  "<a b='c'>",
  "<trkpt lat='1' lon='2'>",
  "<trkpt lat='1' lon='2'/>",
  "<trkpt lat='1' lon='2'><time>2024-05-01T10:00:00Z</time></trkpt>",
  "</trkpt>",
  "</trkseg><trkseg>",
  "</trkseg>",
  "</trk>",
  "</gpx>",
  "<x:y>1</x:y>",
  " lat='3'",
  "<!DOCTYPE gpx>",
  "\0",
  "\u00e9",
  "\ufeff",
];
const EXTENSIONS = [
  "speed",
  "battery",
  "Battery_pct",
  "voltage",
  "heading",
  "mode",
  "airborne",
  "hdop",
  "note",
  "temp-x.y",
  "time",
];

/** @returns the bytes of a document with about so many track points */
export function randomGpx(seed, points) {
  const random = randomOf(seed);
  const pick = (choices) => choices[Math.floor(random() * choices.length)];
  const often = (share) => random() < share;
  const style = {
    end: pick(["\n", "\n", "\r\n", "\r", ""]),
    indent: pick(["", "  ", "\t"]),
    quote: pick(['"', '"', "'"]),
    prefix: pick(["", "", "", "g:", "é:"]),
    // A document has few oddities, or many.
    odd: pick([0, 0, 0.002, 0.02, 0.1]),
    elements: ["ele", "time", "sat", "hdop", "fix", "speed", "course", "desc"].filter(
      (name) => name === "time" || often(0.6),
    ),
    extensions: EXTENSIONS.filter(() => often(0.3)),
    namespace: pick(["", "ns:", "x.y:"]),
    places: Math.floor(random() * 12),
  };
  const tools = { random, pick, often, style };
  const text = documentOf(points, tools);
  return often(0.35) ? mutate(Buffer.from(text), tools) : Buffer.from(text);
}

function documentOf(points, tools) {
  const { pick, often, style, random } = tools;
  const { end, prefix } = style;
  const head = pick(['<?xml version="1.0" encoding="UTF-8"?>', '<?xml version="1.1"?>', "", " "]);
  const doctype = often(0.05) ? '<!DOCTYPE gpx [<!ENTITY e "1">]>' : "";
  const parts = [`${head}${doctype}<${prefix}gpx version="1.1">${end}`];
  const outside = () =>
    often(style.odd * 2) ? pick([...SNIPPETS, "<name>a &copy; b</name>", "text", '<wpt lat="1" lon="2"/>']) : "";
  const depth = often(0.03) ? Math.floor(92 + 8 * random()) : 0;
  parts.push("<d>".repeat(depth));
  for (let point = 0; point < points;) {
    const deeper = often(0.05) ? Math.floor(88 + 10 * random()) : 0;
    parts.push("<d>".repeat(deeper), `<${prefix}trk>${outside()}<${prefix}trkseg>${end}`);
    const last = Math.min(points, point + Math.ceil(random() * points));
    for (; point < last; point += 1) parts.push(outside(), pointOf(point, tools), style.end);
    parts.push(`</${prefix}trkseg>${outside()}</${prefix}trk>`, "</d>".repeat(deeper));
  }
  parts.push("</d>".repeat(depth), `</${prefix}gpx>${end}`);
  return parts.join("");
}

function pointOf(index, tools) {
  const { pick, often, style, random } = tools;
  const { quote, indent, end, prefix, odd, namespace } = style;
  const isOdd = () => often(odd);
  const between = () =>
    isOdd() ? pick([" ", "\r\n", "\t", "text", "&nope;", "<!-- c -->", "<?p?>"]) : `${end}${end === "" ? "" : indent}`;
  const values = {
    ele: () => (400 + random() * 50).toFixed(style.places),
    time: () => new Date(1_714_557_600_000 + index * 100).toISOString(),
    sat: () => String(Math.floor(random() * 20)),
    fix: () => pick(["3d", "2d", "dgps", "none"]),
    desc: () => pick(["a text", "Höhe", "x".repeat(250)]),
    mode: () => pick(["Manual", "Hold", ""]),
    airborne: () => pick(["1", "0", "true"]),
  };
  const valueOf = (name) => (isOdd() ? pick(ODD_VALUES) : (values[name]?.() ?? (random() * 50).toFixed(style.places)));
  const tag = (name) => `${isOdd() ? pick([`${name} `, `${name} a="1"`, `${name}\n`, `1${name}`, `${name}é`]) : name}`;
  const element = (name) => {
    if (isOdd())
      return pick([`<${name}/>`, `<${name} />`, `<${name}></${name} >`, `<${name}>1</x${name}>`, `<${name}>`]);
    return `<${tag(name)}>${valueOf(name.replace(/^.*:/, ""))}</${name}>`;
  };
  const shuffle = (names) => (isOdd() ? names.toSorted(() => random() - 0.5) : names);
  const own = shuffle(style.elements).flatMap((name) => (isOdd() ? pick([[], [name, name]]) : [name]));
  const inside = own.map((name) => between() + element(isOdd() ? name : prefix + name));
  if (style.extensions.length > 0) {
    const nested = shuffle(style.extensions).map((name) => between() + element(namespace + name));
    inside.push(
      `${between()}<extensions><${namespace}Point>${nested.join("")}</${namespace}Point>${between()}</extensions>`,
    );
  }
  const degrees = (least) => (isOdd() ? pick(ODD_VALUES) : (least + random() / 100).toFixed(style.places));
  const pairs = shuffle([`lat=${quote}${degrees(47)}${quote}`, `lon=${quote}${degrees(8)}${quote}`]);
  if (isOdd()) pairs.push(pick(['id="1"', 'lat="2"', "x:lat='3'", "x", "y=1", 'z="&amp;"']));
  if (isOdd()) pairs.pop();
  const blank = isOdd() ? pick(["\n", "  ", "\r\n", ""]) : " ";
  const close = isOdd() ? pick([" >", "/>", "\n>"]) : ">";
  return `<${prefix}trkpt${blank}${pairs.join(blank)}${close}${inside.join("")}${between()}</${prefix}trkpt>`;
}

function mutate(bytes, { random, pick }) {
  let mutated = bytes;
  for (let count = Math.ceil(random() * 3); count > 0; count -= 1) {
    const at = Math.floor(random() * mutated.length);
    const to = Math.min(mutated.length, at + Math.ceil(random() ** 3 * 200));
    const [before, part, after] = [mutated.subarray(0, at), mutated.subarray(at, to), mutated.subarray(to)];
    mutated = pick([
      () => Buffer.concat([before, Buffer.from(pick(SNIPPETS)), part, after]),
      () => Buffer.concat([before, after]),
      () => Buffer.concat([before, part, part, after]),
      () => Buffer.concat([before, Buffer.from([Math.floor(random() * 256)]), mutated.subarray(at + 1)]),
      () => Buffer.concat([before, Buffer.from(pick(SNIPPETS)), mutated.subarray(at + 1)]),
      () => (random() < 0.3 ? before : mutated),
    ])();
  }
  return mutated;
}
