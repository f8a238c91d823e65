/** The phone's camera as a reader of the traveller's code, where the browser can read one. */
import { useEffect, useRef, useState } from 'preact/hooks';
import { WentWrong } from '../parts/sheet.tsx';
import { words } from '../words/words.ts';

interface CodeReader {
  detect(of: HTMLVideoElement): Promise<readonly { readonly rawValue: string }[]>;
}
/** Not in TypeScript's list of what browsers have: few have it. */
type CodeReaderMaker = new (how: { formats: readonly string[] }) => CodeReader;

const READ_EVERY_MS = 200;

const readerOfBrowser = (): CodeReaderMaker | undefined =>
  (globalThis as { BarcodeDetector?: CodeReaderMaker }).BarcodeDetector;

export function Camera({ onRead }: { readonly onRead: (text: string) => Promise<void> }) {
  const { bench: say } = words.value;
  const [open, setOpen] = useState(false);
  const [failure, setFailure] = useState<unknown>(null);
  const Reader = readerOfBrowser();
  if (Reader === undefined) return null;
  const read = (text: string): void => {
    setOpen(false);
    onRead(text).catch(setFailure);
  };
  return (
    <>
      <button
        type="button"
        class="wide"
        aria-expanded={open}
        onClick={() => {
          setFailure(null);
          setOpen(!open);
        }}
      >
        {open ? say.cameraClose : say.cameraOpen}
      </button>
      <WentWrong failure={failure} />
      {open && <Picture Reader={Reader} onRead={read} onFail={() => setOpen(false)} />}
    </>
  );
}

function Picture({
  Reader,
  onRead,
  onFail,
}: {
  readonly Reader: CodeReaderMaker;
  readonly onRead: (text: string) => void;
  readonly onFail: () => void;
}) {
  const { bench: say } = words.value;
  const video = useRef<HTMLVideoElement>(null);
  const [refused, setRefused] = useState(false);
  useEffect(() => {
    let stream: MediaStream | undefined;
    let timer: ReturnType<typeof setTimeout> | undefined;
    let over = false;
    const stop = (): void => {
      stream?.getTracks().forEach((track) => track.stop());
    };
    const look = async (picture: HTMLVideoElement): Promise<void> => {
      const [code] = await new Reader({ formats: ['qr_code', 'data_matrix'] }).detect(picture);
      if (over) return;
      if (code === undefined) {
        timer = setTimeout(() => void look(picture).catch(onFail), READ_EVERY_MS);
      } else onRead(code.rawValue);
    };
    const begin = async (picture: HTMLVideoElement): Promise<void> => {
      stream = await navigator.mediaDevices.getUserMedia({ video: { facingMode: 'environment' } });
      // The page may have been left while the person was asked.
      if (over) {
        stop();
        return;
      }
      picture.srcObject = stream;
      await picture.play();
      await look(picture);
    };
    if (video.current !== null) begin(video.current).catch(() => setRefused(true));
    return () => {
      over = true;
      clearTimeout(timer);
      stop();
    };
  }, []);
  if (refused) return <p role="alert">{say.cameraRefused}</p>;
  return (
    <>
      <p role="status">{say.cameraHold}</p>
      <video ref={video} class="camera" muted playsInline />
    </>
  );
}
