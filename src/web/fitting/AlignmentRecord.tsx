/**
 * Alignments of a socket: drawn, compared with the accepted one, measured anew; a difference
 * past the clinic's tolerance is accepted by signature (R14).
 */
import { useState } from 'preact/hooks';
import { answered, api, type Schemas } from '../api.ts';
import { once, useReadAgain } from '../parts/act.ts';
import { Drawing } from '../parts/drawing.tsx';
import { ActForm } from '../parts/form.tsx';
import { useInstantWords } from '../parts/instants.ts';
import { NoteField } from '../parts/noteField.tsx';
import { SignedForm } from '../parts/signing.tsx';
import { may } from '../session/session.ts';
import { smallWords } from '../words/units.ts';
import { inFigures } from '../words/figures.ts';
import { words } from '../words/words.ts';
import { AlignmentFields } from './AlignmentFields.tsx';
import { alignmentOf, NOTHING_TYPED, type Component } from './alignmentTyped.ts';

interface Of {
  readonly socket: Schemas['Socket'];
  readonly record: Schemas['Alignments'];
  readonly onDone: (said: string) => void;
}
type Measured = Schemas['Alignments']['items'][number];

export function AlignmentRecord({ socket, record, onDone }: Of) {
  const { fitting: say } = words.value;
  const at = useInstantWords();
  const newest = record.items.at(-1);
  const outside = newest?.differences?.some(({ within }) => !within) === true;
  const inWork = socket.state === 'in_work' || socket.state === 'delivered';
  return (
    <>
      {(newest !== undefined || record.accepted !== null) && (
        <section aria-label={say.alignmentTitle}>
          <h2>{say.alignmentTitle}</h2>
          {newest !== undefined && (
            <p>
              {say.measuredBy(newest.measuredBy, at(newest.measuredAt))}
              {!newest.covers && <strong> {say.movedSince}</strong>}
            </p>
          )}
          <Drawing
            name={['alignment', socket.id, newest?.id ?? '', record.accepted?.id ?? '']}
            words={say.alignmentOf(socket.number)}
            read={() =>
              answered(
                api.GET('/api/v1/sockets/{socketId}/alignment.svg', {
                  params: { path: { socketId: socket.id } },
                  parseAs: 'text',
                }),
              )
            }
          />
          {newest !== undefined && <Differences of={newest} />}
        </section>
      )}
      {socket.kind === 'definitive' && inWork && may('technician', 'prosthetist') && (
        <Measure socket={socket} record={record} onDone={onDone} />
      )}
      {newest !== undefined && outside && !newest.differenceSigned && may('prosthetist') && (
        <AcceptDifference socket={socket} measured={newest} onDone={onDone} />
      )}
    </>
  );
}

const differenceWords = (difference: number, unit: string): string => {
  const sign = difference > 0 ? '+' : difference < 0 ? '−' : '';
  const size = Math.abs(difference);
  return `${sign}${unit === 'mm' ? smallWords(size) : `${inFigures(size, 1)} ${unit}`}`;
};

function Differences({ of }: { of: Measured }) {
  const { fitting: say } = words.value;
  if (of.differences === null || of.differences.length === 0) return null;
  return (
    <table>
      <thead>
        <tr>
          <th>{say.component}</th>
          <th>{say.difference}</th>
          <th>{say.tolerance}</th>
        </tr>
      </thead>
      <tbody>
        {of.differences.map(({ component, difference, unit, within }) => (
          <tr key={component} class={within ? '' : 'against'}>
            <td>{say.components[component as Component]}</td>
            <td>{differenceWords(difference, unit)}</td>
            <td>{within ? say.within : of.differenceSigned ? say.signedFor : say.outside}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

function Measure({ socket, record, onDone }: Of) {
  const { fitting: say } = words.value;
  const readAgain = useReadAgain();
  const [typed, setTyped] = useState(NOTHING_TYPED);
  const send = async (key: string): Promise<void> => {
    const params = { path: { socketId: socket.id }, header: once(key) };
    const body = alignmentOf(typed);
    await answered(api.POST('/api/v1/sockets/{socketId}/alignments', { params, body }));
    onDone(say.alignmentRecorded(socket.number));
    setTyped(NOTHING_TYPED);
    await readAgain();
  };
  return (
    <>
      <h2>{say.measureAlignment}</h2>
      <ActForm act={say.recordAlignment} send={send}>
        {({ against }) => (
          <AlignmentFields
            typed={typed}
            against={against}
            at=""
            socket={socket}
            record={record}
            onType={setTyped}
          />
        )}
      </ActForm>
    </>
  );
}

function AcceptDifference({
  socket,
  measured,
  onDone,
}: Omit<Of, 'record'> & { readonly measured: Measured }) {
  const { fitting: say } = words.value;
  const readAgain = useReadAgain();
  const [why, setWhy] = useState('');
  const path = { socketId: socket.id };
  return (
    <>
      <h2>{say.acceptDifferenceTitle}</h2>
      <SignedForm
        act={say.acceptDifference}
        body={{ alignmentId: measured.id, why }}
        ask={(body) =>
          answered(
            api.POST('/api/v1/sockets/{socketId}/alignment-difference-acceptance/to-sign', {
              params: { path },
              body,
            }),
          )
        }
        sign={async (key, body, signature) => {
          await answered(
            api.POST('/api/v1/sockets/{socketId}/alignment-difference-acceptance', {
              params: { path, header: once(key) },
              body: { ...body, signature },
            }),
          );
          onDone(say.differenceAccepted);
          await readAgain();
        }}
      >
        {({ against }) => (
          <NoteField label={say.whyField} value={why} against={against('/why')} onType={setWhy} />
        )}
      </SignedForm>
    </>
  );
}
