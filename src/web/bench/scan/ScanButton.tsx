/** Opens the camera, reads a code, and closes it. Typing stays, whatever becomes of the camera. */
import { signal } from '@preact/signals';
import { useEffect, useId, useRef, useState } from 'preact/hooks';
import { WentWrong } from '../../parts/sheet.tsx';
import { words } from '../../words/words.ts';
import { openCamera, setTorch, torchOf, whyNoCamera, type NoCamera } from './camera.ts';
import type { Code } from './codes.ts';
import { codeReader, type CodeReader } from './reader.ts';

const READ_EVERY_MS = 120;
/** Felt through a glove; phones without it do nothing. */
const FELT_MS = 80;
/** Only one camera at a time: opening one closes another. */
const opened = signal<string | null>(null);

/** What is wrong with what was read, in words; nothing where it was taken. */
export type Taken = Promise<string | undefined>;

export function ScanButton({
  scan,
  onRead,
}: {
  /** The words of the button. */
  readonly scan: string;
  readonly onRead: (codes: readonly Code[]) => Taken;
}) {
  const { bench: say } = words.value;
  const id = useId();
  const open = opened.value === id;
  const [wrong, setWrong] = useState<string>();
  const [failure, setFailure] = useState<unknown>(null);
  useEffect(
    () => () => {
      if (opened.peek() === id) opened.value = null;
    },
    [],
  );
  const turn = (to: boolean): void => {
    opened.value = to ? id : null;
  };
  const read = (codes: readonly Code[]): void => {
    turn(false);
    if ('vibrate' in navigator) navigator.vibrate(FELT_MS);
    onRead(codes).then(setWrong, setFailure);
  };
  return (
    <>
      <button
        type="button"
        class="wide"
        aria-expanded={open}
        onClick={() => {
          setFailure(null);
          setWrong(undefined);
          turn(!open);
        }}
      >
        {open ? say.cameraClose : scan}
      </button>
      {wrong !== undefined && (
        <p class="problem" role="alert">
          {wrong}
        </p>
      )}
      <WentWrong failure={failure} />
      {open && <Finder onRead={read} />}
    </>
  );
}

function Finder({ onRead }: { readonly onRead: (codes: readonly Code[]) => void }) {
  const { bench: say } = words.value;
  const video = useRef<HTMLVideoElement>(null);
  const [without, setWithout] = useState<NoCamera>();
  const [torch, setTorchTrack] = useState<MediaStreamTrack>();
  useEffect(() => {
    const picture = video.current;
    if (picture === null) return;
    return look(picture, { onRead, onTorch: setTorchTrack, onFail: setWithout });
  }, []);
  if (without !== undefined) return <p role="alert">{say.noCamera[without]}</p>;
  return (
    <>
      <p role="status">{say.cameraHold}</p>
      <video ref={video} class="camera" muted playsInline />
      {torch !== undefined && <Torch track={torch} />}
    </>
  );
}

function Torch({ track }: { readonly track: MediaStreamTrack }) {
  const [on, setOn] = useState(false);
  return (
    <button
      type="button"
      class="wide"
      aria-pressed={on}
      onClick={() =>
        void setTorch(track, !on).then(
          () => setOn(!on),
          () => undefined,
        )
      }
    >
      {words.value.bench.torch}
    </button>
  );
}

interface Told {
  readonly onRead: (codes: readonly Code[]) => void;
  readonly onTorch: (track: MediaStreamTrack | undefined) => void;
  readonly onFail: (why: NoCamera) => void;
}

/** Looks through the camera until it has read a code. @returns what ends it */
function look(picture: HTMLVideoElement, { onRead, onTorch, onFail }: Told): () => void {
  let stream: MediaStream | undefined;
  let reader: CodeReader | undefined;
  let timer: ReturnType<typeof setTimeout> | undefined;
  let over = false;
  let before = '';
  const end = (): void => {
    over = true;
    clearTimeout(timer);
    reader?.close();
    stream?.getTracks().forEach((track) => track.stop());
  };
  const tryOnce = async (by: CodeReader): Promise<void> => {
    const codes = await by.read(picture);
    // The page may have been left meanwhile.
    if (isOver()) return;
    const told = codes.map(({ text }) => text).join('\n');
    const sure = codes.length > 0 && (told === before || codes.every(({ linear }) => !linear));
    before = told;
    if (sure) onRead(codes);
    else timer = setTimeout(() => void tryOnce(by).catch(() => onFail('reader')), READ_EVERY_MS);
  };
  const isOver = (): boolean => over;
  const begin = async (): Promise<void> => {
    try {
      stream = await openCamera();
      if (isOver()) {
        end();
        return;
      }
      picture.srcObject = stream;
      await picture.play();
      onTorch(torchOf(stream));
    } catch (failure) {
      if (!isOver()) onFail(whyNoCamera(failure));
      return;
    }
    try {
      reader = await codeReader();
      if (isOver()) reader.close();
      else await tryOnce(reader);
    } catch {
      if (!isOver()) onFail('reader');
    }
  };
  void begin();
  return end;
}
