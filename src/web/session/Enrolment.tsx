/** The one page of a sign-in that lacks the second factor which the clinic asks for. */
import { useState } from 'preact/hooks';
import { Sheet } from '../parts/sheet.tsx';
import { words } from '../words/words.ts';
import { AddSecondFactor } from './AddSecondFactor.tsx';
import { RecoveryCodes } from './RecoveryCodes.tsx';
import { refresh } from './session.ts';

export function Enrolment() {
  const { secondFactor: say } = words.value;
  const [codes, setCodes] = useState<readonly string[]>();
  return (
    <Sheet title={say.required}>
      {codes === undefined ? (
        <>
          <p>{say.says}</p>
          <p>{say.requiredSays}</p>
          <AddSecondFactor onCodes={setCodes} />
        </>
      ) : (
        // The next pair of tokens says that this sign-in may all that its roles may.
        <RecoveryCodes codes={codes} onKept={() => void refresh()} />
      )}
    </Sheet>
  );
}
