/** Where the bench begins: the code of the traveller, scanned or typed. */
import { useState } from 'preact/hooks';
import { useLocation } from 'wouter-preact';
import { parseScanned } from '../../domain/scannedCode.ts';
import { answered, api } from '../api.ts';
import { TextField } from '../parts/fields.tsx';
import { ActForm } from '../parts/form.tsx';
import { Sheet } from '../parts/sheet.tsx';
import { Help } from '../parts/help.tsx';
import { BenchPin } from '../session/BenchPin.tsx';
import { words } from '../words/words.ts';
import { ScanButton } from './scan/ScanButton.tsx';
import { numberOf, travellerIn } from './scanned.ts';

export function Bench() {
  const { pages, bench: say } = words.value;
  const [, go] = useLocation();
  const [typed, setTyped] = useState('');
  // Asked of the service before the page is turned: a mistyped number stays in its field.
  const open = async (text: string): Promise<void> => {
    const scanned = parseScanned(text);
    if (scanned.ok && scanned.value.kind === 'place') {
      go(`/bench/p/${scanned.value.placeId}`);
      return;
    }
    if (scanned.ok && scanned.value.kind === 'socket') {
      go(`/bench/o/${scanned.value.socket}`);
      return;
    }
    const { number } = await answered(
      api.GET('/api/v1/orders/by-number/{number}', {
        params: { path: { number: numberOf(text) } },
      }),
    );
    go(`/bench/o/${number}`);
  };
  return (
    <Sheet title={pages.bench}>
      <div class="bench">
        <ActForm act={say.open} send={() => open(typed)}>
          {() => (
            <TextField
              label={say.code}
              hint={say.codeHint}
              value={typed}
              autocapitalize="characters"
              autocomplete="off"
              spellcheck={false}
              onInput={({ currentTarget }) => setTyped(currentTarget.value)}
            />
          )}
        </ActForm>
        <Help of={say.code}>{words.value.help.checkCharacter}</Help>
        <ScanButton
          scan={say.cameraOpen}
          onRead={async (codes) => {
            const text = travellerIn(codes);
            setTyped(numberOf(text));
            await open(text);
            return undefined;
          }}
        />
      </div>
      <BenchPin />
    </Sheet>
  );
}
