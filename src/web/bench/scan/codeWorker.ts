/**
 * Reads codes by WebAssembly, away from the page, so that nothing stutters while a picture
 * is searched. Its module is a file of ours: the library's own loader would ask a CDN.
 *
 * The page's policy allows no WebAssembly; this worker's own answer does (http/webPages.ts).
 */
import { prepareZXingModule, readBarcodes } from 'zxing-wasm/reader';
import wasmUrl from 'zxing-wasm/reader/zxing_reader.wasm?url';
import { CODES_MOST, type Code } from './codes.ts';

export interface Asked {
  readonly widthPx: number;
  readonly heightPx: number;
  /** RGBA. */
  readonly pixels: ArrayBuffer;
}
/** The codes that were seen; or that the reader itself does not work here. */
export type Answered = { readonly codes: readonly Code[] } | { readonly broken: string };

prepareZXingModule({ overrides: { locateFile: () => wasmUrl } });

// Compiled with the page's types: of a worker's own only these two are asked for.
const here = self as unknown as {
  onmessage: (event: MessageEvent<Asked>) => void;
  postMessage: (answer: Answered) => void;
};

here.onmessage = ({ data: { widthPx, heightPx, pixels } }) => {
  void read(new ImageData(new Uint8ClampedArray(pixels), widthPx, heightPx)).then(
    (codes) => here.postMessage({ codes }),
    (failure: unknown) => here.postMessage({ broken: String(failure) }),
  );
};

async function read(picture: ImageData): Promise<readonly Code[]> {
  const read = await readBarcodes(picture, {
    // The traveller; tools, items and batches. In its extended way Code 39 turns HIBC's "+A" into a small a.
    formats: ['QRCode', 'DataMatrix', 'Aztec', 'Code128', 'Code39Std'],
    textMode: 'Plain',
    maxNumberOfSymbols: CODES_MOST,
  });
  return read
    .filter(({ isValid }) => isValid)
    .map(({ text, symbologyIdentifier, format }) => ({
      text,
      symbology: symbologyIdentifier,
      linear: format.startsWith('Code'),
    }));
}
