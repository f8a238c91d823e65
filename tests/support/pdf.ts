/**
 * Papers read back by programs that did not write them: text by pdf.js and, where it is
 * installed, by poppler's pdftotext; the picture by pdf.js on a canvas; codes by ZXing.
 */
import { spawnSync } from 'node:child_process';
import fs from 'node:fs';
import { createRequire } from 'node:module';
import { createCanvas } from '@napi-rs/canvas';
import { getDocument, OPS } from 'pdfjs-dist/legacy/build/pdf.mjs';
import { prepareZXingModule, readBarcodes } from 'zxing-wasm/reader';

const resolveFile = createRequire(import.meta.url).resolve;

/** A word or line of text as it stands on its page; points, from the top left. */
export interface PlacedText {
  readonly text: string;
  readonly xPt: number;
  readonly baselinePt: number;
  readonly sizePt: number;
  readonly widthPt: number;
}

export interface ReadPage {
  readonly widthPt: number;
  readonly heightPt: number;
  readonly texts: readonly PlacedText[];
  /** All its text, one placed text after the other, blanks between. */
  readonly words: string;
}

export interface ReadPdf {
  readonly pages: readonly ReadPage[];
  /** The text of all pages, each run of blanks as one. */
  readonly words: string;
  readonly info: Readonly<Record<string, unknown>>;
  readonly language: string | null;
}

const oneBlank = (text: string): string => text.replaceAll(/\s+/g, ' ').trim();

/** pdf.js takes the bytes it is given for its own, so it gets a copy. */
const open = (bytes: Uint8Array) =>
  getDocument({
    data: Uint8Array.from(bytes),
    verbosity: 0,
    useSystemFonts: false,
    isEvalSupported: false,
  }).promise;

/** Text and metadata by pdf.js. */
export async function readPdf(bytes: Uint8Array): Promise<ReadPdf> {
  const document = await open(bytes);
  const pages: ReadPage[] = [];
  for (let number = 1; number <= document.numPages; number += 1) {
    const page = await document.getPage(number);
    const { width, height } = page.getViewport({ scale: 1 });
    const content = await page.getTextContent();
    const texts = content.items.flatMap((item): PlacedText[] => {
      if (!('str' in item) || item.str.trim() === '') return [];
      const [, , , scale, x, y] = item.transform as number[];
      return [
        {
          text: item.str,
          xPt: x ?? 0,
          baselinePt: height - (y ?? 0),
          sizePt: scale ?? 0,
          widthPt: item.width,
        },
      ];
    });
    pages.push({
      widthPt: width,
      heightPt: height,
      texts,
      words: oneBlank(texts.map((each) => each.text).join(' ')),
    });
  }
  const { info } = await document.getMetadata();
  const read = {
    pages,
    words: oneBlank(pages.map((page) => page.words).join(' ')),
    info: info as Record<string, unknown>,
    language: (info as { Language?: string | null }).Language ?? null,
  };
  await document.loadingTask.destroy();
  return read;
}

/** Text by poppler's pdftotext; null where it is not installed. */
export function popplerText(bytes: Uint8Array): string | null {
  const run = spawnSync('pdftotext', ['-', '-'], { input: bytes, encoding: 'utf8' });
  if (run.error !== undefined) return null;
  if (run.status !== 0) throw new Error(`pdftotext: ${run.stderr}`);
  return oneBlank(run.stdout);
}

/** A page as pixels. */
export interface Picture {
  readonly data: Uint8ClampedArray<ArrayBuffer>;
  readonly width: number;
  readonly height: number;
}

/** Draws a page, counted from 1, at so many pixels a point. */
export async function renderPage(bytes: Uint8Array, number: number, scale = 2): Promise<Picture> {
  const document = await open(bytes);
  const page = await document.getPage(number);
  const viewport = page.getViewport({ scale });
  const [width, height] = [Math.ceil(viewport.width), Math.ceil(viewport.height)];
  const canvas = createCanvas(width, height);
  const context = canvas.getContext('2d');
  context.fillStyle = 'white';
  context.fillRect(0, 0, width, height);
  await page.render({
    // pdf.js' types speak of the browser's canvas, which is no type here; this one has its methods.
    canvas: canvas as never,
    canvasContext: context as never,
    viewport,
  }).promise;
  const { data } = context.getImageData(0, 0, width, height);
  await document.loadingTask.destroy();
  return { data: new Uint8ClampedArray(data), width, height };
}

/** The texts of the codes in a picture. */
export async function decodeCodes({ data, width, height }: Picture): Promise<string[]> {
  // Without the bytes it would fetch them from the network.
  const wasm = fs.readFileSync(resolveFile('zxing-wasm/reader/zxing_reader.wasm'));
  prepareZXingModule({ overrides: { wasmBinary: Uint8Array.from(wasm).buffer } });
  const picture = { data, width, height, colorSpace: 'srgb' };
  // What a browser calls ImageData has these four members.
  const codes = await readBarcodes(picture, { formats: ['QRCode'], tryHarder: true });
  return codes.filter((code) => code.isValid).map((code) => code.text);
}

/** The share of pixels that are not grey: 0 where colour carries nothing. */
export function shareOfColour({ data }: Picture): number {
  let coloured = 0;
  for (let at = 0; at < data.length; at += 4) {
    const [r = 0, g = 0, b = 0] = data.slice(at, at + 3);
    if (Math.max(r, g, b) - Math.min(r, g, b) > 8) coloured += 1;
  }
  return (4 * coloured) / data.length;
}

/** The weights of all lines that a page draws, in points. */
export async function lineWeights(bytes: Uint8Array, number: number): Promise<number[]> {
  const document = await open(bytes);
  const { fnArray, argsArray } = await (await document.getPage(number)).getOperatorList();
  const weights = new Set<number>();
  const kept: { scale: number; weight: number }[] = [];
  let now = { scale: 1, weight: 1 };
  for (const [at, operator] of fnArray.entries()) {
    const args = argsArray[at] as readonly unknown[] | null;
    if (operator === OPS.save) kept.push({ ...now });
    else if (operator === OPS.restore) now = kept.pop() ?? now;
    else if (operator === OPS.setLineWidth) now.weight = Number(args?.[0]);
    else if (operator === OPS.transform) {
      const [a = 1, b = 0] = (args ?? []).map(Number);
      now.scale *= Math.hypot(a, b);
    } else if (
      operator === OPS.stroke ||
      operator === OPS.fillStroke ||
      (operator === OPS.constructPath &&
        [OPS.stroke, OPS.closeStroke, OPS.fillStroke].includes(Number(args?.[0])))
    ) {
      weights.add(now.weight * now.scale);
    }
  }
  await document.loadingTask.destroy();
  return [...weights].sort((a, b) => a - b);
}
