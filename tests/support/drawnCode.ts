/** Codes drawn by bwip-js and read back by ZXing: what a scanner or a camera would hand on. */
import fs from 'node:fs';
import { createRequire } from 'node:module';
import bwipjs from 'bwip-js/node';
import { prepareZXingModule, readBarcodes, type ReaderOptions } from 'zxing-wasm/reader';

// In Node the module would fetch its own code from elsewhere.
const wasm = fs.readFileSync(
  createRequire(import.meta.url).resolve('zxing-wasm/reader/zxing_reader.wasm'),
);
prepareZXingModule({ overrides: { wasmBinary: Uint8Array.from(wasm).buffer } });

/**
 * @param bcid bwip-js' name of the symbology
 * @param formats where ZXing must not guess: HIBC in Code 39 is read as `Code39Std`, for in
 *   its extended way "+A" becomes a small a
 * @returns symbology identifier and text, FNC1 as character 29
 */
export async function drawnAndRead(
  bcid: string,
  text: string,
  formats?: ReaderOptions['formats'],
): Promise<string> {
  const linear = /128|39/.test(bcid) ? { height: 15 } : {};
  const png = await bwipjs.toBuffer({
    bcid,
    text,
    scale: 3,
    padding: 10,
    backgroundcolor: 'FFFFFF',
    ...linear,
  });
  const [code] = await readBarcodes(new Uint8Array(png), {
    tryHarder: true,
    textMode: 'Plain',
    ...(formats === undefined ? {} : { formats }),
  });
  if (code?.isValid !== true) throw new Error(`${bcid} was not read`);
  return code.symbologyIdentifier + code.text;
}
