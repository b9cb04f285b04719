import type { GeoTIFF, GeoTIFFImage } from "geotiff";
import { UserError } from "../user-error.js";
import type { ByteSource } from "./byte-source.js";
import { type GeoKeys, KEY, systemOfKeys, verticalUnit_m } from "./geotiff-system.js";
import { latticeOfTags } from "./geotiff-lattice.js";
import type { NodeWindow } from "./lattice.js";
import { inflate } from "./inflate.js";
import { unpackLzw } from "./lzw.js";
import { quoteValue } from "./quote-value.js";
import { HIGHEST, LOWEST, type Raster, type RasterFile, VOID_TOLERANCE } from "./raster.js";

/** Bytes of decoded blocks that are held at a time. */
const BAND_BYTES = 8_000_000;
/** One block of a file that cannot be read in pieces. */
const MOST_BLOCK_BYTES = 512_000_000;
/** What the library asks for at once to read a header; it may be more than a small file has. */
const HEADER_BYTES = 65_536;
/** Characters of what the library says, which may quote the file. */
const MOST_TOLD = 200;
/** Undeclared, and ground nowhere. */
const USUAL_VOID = -9999;

/** Compressions that are read here, and not by the library; deflate has two numbers. */
const LZW = 5;
const DEFLATE = [8, 32_946];
/** No other is read: what the library has for them unpacks a block to any size. */
const COMPRESSIONS: readonly unknown[] = [undefined, 1, LZW, ...DEFLATE];

const SAMPLES = new Map([
  ["1/8", "uint8"],
  ["1/16", "uint16"],
  ["1/32", "uint32"],
  ["2/8", "int8"],
  ["2/16", "int16"],
  ["2/32", "int32"],
  ["3/32", "float32"],
  ["3/64", "float64"],
]);

/** What is needed to turn samples into heights. */
interface Heights {
  readonly noData: number;
  readonly perUnit_m: number;
  /** Rows of the file run from north to south, which is the rule. */
  readonly isNorthFirst: boolean;
}

/**
 * Opens a GeoTIFF with one band of heights; the library is loaded only here.
 *
 * Heights stand at the pixels' centres where a pixel is an area, at its corner where it is a point: the nodes of the
 * bilinear surface. Source: OGC 19-008r4, GeoTIFF, 7.1.2.
 * @throws UserError, one line: a file that is damaged, a picture, not placed on the earth, rotated, or in a system that
 *   is neither known nor declared
 */
export async function openGeoTiff({ path, bytes, declared }: RasterFile): Promise<Raster> {
  return guarded(path, async () => {
    const image = await imageOf(bytes, path);
    checkSamples(image, path);
    const keys = keysOf(image);
    const system = declared ?? systemOfKeys(keys, path);
    const { lattice, isNorthFirst } = latticeOfTags(tagsOf(image), keys.get(KEY.rasterType) === 2, path);
    checkBlocks(image, bytes.size, path);
    const heights = { noData: noDataOf(image), perUnit_m: verticalUnit_m(keys, path), isNorthFirst };
    return {
      format: "GeoTIFF",
      system,
      lattice,
      readNodes: (source, window) => guarded(path, async () => readNodes(await imageOf(source, path), window, heights)),
    };
  });
}

/** What the library throws at damaged bytes has no type of its own: here any error says that the file is damaged. */
async function guarded<T>(path: string, read: () => Promise<T>): Promise<T> {
  try {
    return await read();
  } catch (error) {
    if (error instanceof UserError) throw error;
    const why = (error instanceof Error ? error.message : String(error)).slice(0, MOST_TOLD);
    throw new UserError("terrain-damaged", `This GeoTIFF cannot be read (${why.replace(/[\s.]+$/, "")}).`, {
      where: { file: path },
      hint: "Fetch it again, or write it as a plain GeoTIFF with deflate, LZW or no compression.",
    });
  }
}

async function imageOf(bytes: ByteSource, path: string): Promise<GeoTIFFImage> {
  const { addDecoder, BaseDecoder, GeoTIFF } = await import("geotiff");
  class Lzw extends BaseDecoder {
    override decodeBlock(buffer: ArrayBufferLike): ArrayBufferLike {
      return unpackLzw(new Uint8Array(buffer), MOST_BLOCK_BYTES).slice().buffer;
    }
  }
  class Deflate extends BaseDecoder {
    override async decodeBlock(buffer: ArrayBufferLike): Promise<ArrayBufferLike> {
      const { tileWidth, tileHeight, bitsPerSample } = this.parameters;
      const block_bytes = (tileWidth * tileHeight * Number(bitsPerSample)) / 8;
      return (await inflate(new Uint8Array(buffer), Math.min(block_bytes, MOST_BLOCK_BYTES))).buffer;
    }
  }
  addDecoder(LZW, () => Promise.resolve(Lzw));
  addDecoder(DEFLATE, () => Promise.resolve(Deflate));
  const tiff: GeoTIFF = await GeoTIFF.fromSource(sourceOf(bytes, path));
  return tiff.getImage(0);
}

/** The bytes as the library wants them; it would take a short read for data. */
function sourceOf(bytes: ByteSource, file: string): Parameters<typeof GeoTIFF.fromSource>[0] {
  const fetchSlice = async ({ offset, length }: { offset: number; length: number }) => {
    if (offset >= bytes.size || (offset + length > bytes.size && length > HEADER_BYTES)) {
      throw new UserError("terrain-truncated", `The file ends at ${bytes.size} bytes, and names some at ${offset}.`, {
        where: { file },
        hint: "Fetch it again.",
      });
    }
    const read = await bytes.read(offset, length);
    const data = new ArrayBuffer(read.length);
    new Uint8Array(data).set(read);
    return { offset, length, data };
  };
  return {
    fileSize: bytes.size,
    fetchSlice,
    fetch: (slices) => Promise.all(slices.map(async (slice) => (await fetchSlice(slice)).data)),
    close: () => Promise.resolve(),
  };
}

function checkSamples(image: GeoTIFFImage, file: string): void {
  const fail = (code: string, message: string, hint: string): never => {
    throw new UserError(code, message, { where: { file }, hint });
  };
  const said = [image.getSamplesPerPixel(), image.getSampleFormat(), image.getBitsPerSample()];
  const sizes = [image.getWidth(), image.getHeight(), image.getTileWidth(), image.getTileHeight()];
  // A damaged tag may hold a list, or text.
  if ([...said, ...sizes].some((number: unknown) => typeof number !== "number")) {
    fail("terrain-damaged", "This GeoTIFF does not say how large it is.", "Fetch it again.");
  }
  const bands = image.getSamplesPerPixel();
  const photometric: unknown = image.fileDirectory.getValue("PhotometricInterpretation");
  // 0 and 1: black is low or high; 2 RGB, 3 palette, 5 CMYK, 6 YCbCr, 8 Lab.
  if (typeof photometric === "number" && photometric > 1) {
    fail("terrain-picture", "This TIFF is a picture in colours, not a grid of heights.", "Name the elevation file.");
  }
  if (bands !== 1) {
    const message = `This GeoTIFF has ${bands} bands, and does not say which are heights.`;
    fail("terrain-bands", message, "Write the band of heights to a file of its own.");
  }
  const sample = `${image.getSampleFormat()}/${image.getBitsPerSample()}`;
  if (!SAMPLES.has(sample)) {
    const message = `Samples of ${image.getBitsPerSample()} bits in format ${image.getSampleFormat()} are not read.`;
    fail("terrain-samples", message, "Write heights as int16 or float32.");
  }
  const compression: unknown = image.fileDirectory.getValue("Compression");
  if (!COMPRESSIONS.includes(compression)) {
    const message = `The compression ${quoteValue(compression)} of this GeoTIFF is not read.`;
    fail("terrain-compression", message, "Write it with deflate, LZW or no compression.");
  }
  const [columns, rows] = [image.getWidth(), image.getHeight()];
  if (!(columns >= 2 && rows >= 2)) {
    fail("terrain-header", `A grid of ${columns} × ${rows} has no surface.`, "A surface needs two nodes each way.");
  }
}

function checkBlocks(image: GeoTIFFImage, size: number, file: string): void {
  const across = Math.ceil(image.getWidth() / image.getTileWidth());
  const blocks = across * Math.ceil(image.getHeight() / image.getTileHeight());
  // Where each begins is said in at least two bytes.
  if (!(blocks * 2 <= size)) {
    const message = `The header says ${image.getWidth()} × ${image.getHeight()} heights, more than ${size} bytes can hold.`;
    throw new UserError("terrain-truncated", message, { where: { file }, hint: "Fetch it again." });
  }
  const bytes = image.getTileWidth() * image.getTileHeight() * image.getBytesPerPixel();
  if (bytes > 0 && bytes <= MOST_BLOCK_BYTES) return;
  const message = `One block of this GeoTIFF holds ${image.getTileWidth()} × ${image.getTileHeight()} samples, too many to read at once.`;
  throw new UserError("terrain-too-big", message, { where: { file }, hint: "Write it in tiles of 256 × 256." });
}

function keysOf(image: GeoTIFFImage): GeoKeys {
  const keys = new Map<number, number>();
  const directory = numbersOf(image, "GeoKeyDirectory");
  const doubles = numbersOf(image, "GeoDoubleParams");
  for (let k = 4; k + 3 < directory.length; k += 4) {
    const [key = 0, location = 0, , value = 0] = directory.slice(k, k + 4);
    if (location === 0) keys.set(key, value);
    else if (location === 34_736) keys.set(key, doubles[value] ?? Number.NaN);
  }
  return keys;
}

function tagsOf(image: GeoTIFFImage): Parameters<typeof latticeOfTags>[0] {
  return {
    columns: image.getWidth(),
    rows: image.getHeight(),
    tiepoint: numbersOf(image, "ModelTiepoint"),
    scale: numbersOf(image, "ModelPixelScale"),
    transformation: numbersOf(image, "ModelTransformation"),
  };
}

type NumbersTag = "GeoKeyDirectory" | "GeoDoubleParams" | "ModelTiepoint" | "ModelPixelScale" | "ModelTransformation";

function numbersOf(image: GeoTIFFImage, tag: NumbersTag): number[] {
  const value: unknown = image.fileDirectory.getValue(tag);
  if (typeof value === "number") return [value];
  return value !== null && typeof value === "object" && Symbol.iterator in value
    ? Array.from(value as Iterable<unknown>, Number)
    : [];
}

/** @returns NaN where no value marks what is missing */
function noDataOf(image: GeoTIFFImage): number {
  const text: unknown = image.fileDirectory.getValue("GDAL_NODATA");
  // Written as text, with or without a zero byte at its end.
  const written = typeof text === "string" ? text.replace(/\0[^]*$/, "").trim() : "";
  return written === "" ? Number.NaN : Number(written);
}

/** In bands of whole rows of blocks, so that no more of the file is in memory than is needed. */
async function readNodes(image: GeoTIFFImage, window: NodeWindow, heights: Heights): Promise<Float64Array> {
  const { column, columns, rows } = window;
  const nodes_m = new Float64Array(columns * rows);
  const height = image.getHeight();
  // Rows of the file, from its first to the one after its last.
  const top = heights.isNorthFirst ? height - window.row - rows : window.row;
  const blockRows = image.getTileHeight();
  const blocks = Math.ceil((columns + image.getTileWidth()) / image.getTileWidth());
  const blockRowBytes = blocks * image.getTileWidth() * blockRows * image.getBytesPerPixel();
  const bandRows = blockRows * Math.max(1, Math.floor(BAND_BYTES / blockRowBytes));
  for (let from = top; from < top + rows;) {
    const to = Math.min(top + rows, (Math.floor(from / bandRows) + 1) * bandRows);
    const [band] = await image.readRasters({ window: [column, from, column + columns, to], samples: [0] });
    if (band === undefined || typeof band === "number") throw new Error("no samples");
    for (let line = from; line < to; line += 1) {
      const row = heights.isNorthFirst ? top + rows - 1 - line : line - top;
      for (let i = 0; i < columns; i += 1) {
        nodes_m[row * columns + i] = heightOf(band[(line - from) * columns + i] ?? Number.NaN, heights);
      }
    }
    from = to;
  }
  return nodes_m;
}

function heightOf(sample: number, { noData, perUnit_m }: Heights): number {
  if (Math.abs(sample - noData) <= Math.abs(noData) * VOID_TOLERANCE || sample === USUAL_VOID) return Number.NaN;
  return sample >= LOWEST && sample <= HIGHEST ? sample * perUnit_m : Number.NaN;
}
