/** A reader of codes: the browser's own where it has one that reads them all, else ours by WebAssembly. */
import type { Code } from './codes.ts';
import type { Answered, Asked } from './codeWorker.ts';

export interface CodeReader {
  /** The codes in the picture that the camera shows now. */
  read(camera: HTMLVideoElement): Promise<readonly Code[]>;
  close(): void;
}

/** Shape Detection API, W3C draft: not in TypeScript's list of what browsers have, for few have it. */
interface Detector {
  detect(of: HTMLVideoElement): Promise<readonly { rawValue: string; format?: string }[]>;
}
interface DetectorMaker {
  new (how: { formats: readonly string[] }): Detector;
  getSupportedFormats?(): Promise<readonly string[]>;
}
const FORMATS = ['qr_code', 'data_matrix', 'aztec', 'code_128', 'code_39'] as const;

const detectorOfBrowser = (): DetectorMaker | undefined =>
  (globalThis as { BarcodeDetector?: DetectorMaker }).BarcodeDetector;

export async function codeReader(): Promise<CodeReader> {
  const Maker = detectorOfBrowser();
  const reads = (await Maker?.getSupportedFormats?.().catch(() => [])) ?? [];
  return Maker !== undefined && FORMATS.every((format) => reads.includes(format))
    ? byBrowser(new Maker({ formats: FORMATS }))
    : byWebAssembly();
}

const byBrowser = (detector: Detector): CodeReader => ({
  read: async (camera) =>
    (await detector.detect(camera)).map(({ rawValue, format = '' }) => ({
      text: rawValue,
      symbology: '',
      linear: format.startsWith('code_'),
    })),
  close: () => undefined,
});

/** Enough for a code that fills a third of the picture; more only takes longer. */
const LONGEST_EDGE_PX = 1280;

function byWebAssembly(): CodeReader {
  const worker = new Worker(new URL('./codeWorker.ts', import.meta.url), { type: 'module' });
  const canvas = document.createElement('canvas');
  const pen = canvas.getContext('2d', { willReadFrequently: true });
  const ask = (asked: Asked): Promise<readonly Code[]> =>
    new Promise((resolve, reject) => {
      worker.onmessage = ({ data }: MessageEvent<Answered>) => {
        if ('codes' in data) resolve(data.codes);
        else reject(new Error(data.broken));
      };
      worker.onerror = ({ message }) => reject(new Error(message));
      worker.postMessage(asked, [asked.pixels]);
    });
  return {
    read: async (camera) => {
      const { videoWidth, videoHeight } = camera;
      const scale = Math.min(1, LONGEST_EDGE_PX / Math.max(videoWidth, videoHeight, 1));
      const widthPx = Math.round(videoWidth * scale);
      const heightPx = Math.round(videoHeight * scale);
      if (pen === null || widthPx < 1 || heightPx < 1) return [];
      canvas.width = widthPx;
      canvas.height = heightPx;
      pen.drawImage(camera, 0, 0, widthPx, heightPx);
      const { buffer: pixels } = pen.getImageData(0, 0, widthPx, heightPx).data;
      return ask({ widthPx, heightPx, pixels });
    },
    close: () => worker.terminate(),
  };
}
