/** Something is wrong: what it is, and where. */
import { useState } from 'preact/hooks';
import { useLocation } from 'wouter-preact';
import { act } from '../offline/acts.ts';
import { useReadAgain } from '../parts/act.ts';
import { Choices } from '../parts/fields.tsx';
import { ActForm } from '../parts/form.tsx';
import { NoteField } from '../parts/noteField.tsx';
import { PicturesField } from '../parts/picturesField.tsx';
import { words } from '../words/words.ts';
import { useDraft } from './draft.ts';
import { place } from './place.ts';
import type { Socket } from './record.ts';
import { SocketPage } from './SocketPage.tsx';

/** What a person at the bench sees; the other kinds the service finds by itself. */
const SEEN = [
  'void',
  'dry_fibre',
  'resin_in_lock_chamber',
  'cross_thread',
  'crack',
  'rattle',
  'skin_redness',
  'other',
] as const;
type Kind = (typeof SEEN)[number];

interface Typed {
  readonly kind?: Kind;
  readonly note: string;
  /** Pictures in base64. */
  readonly photos?: readonly string[];
}

export const ReportFinding = ({ params: { socketId } }: { params: { socketId: string } }) => (
  <SocketPage socketId={socketId} title={words.value.bench.findingReport}>
    {(socket) => <Report key={socket.id} socket={socket} />}
  </SocketPage>
);

function Report({ socket }: { readonly socket: Socket }) {
  const { bench: say } = words.value;
  const [, go] = useLocation();
  const readAgain = useReadAgain();
  const { typed, change, done } = useDraft<Typed>(`finding.${socket.id}`, {
    note: '',
  });
  const { photos = [] } = typed;
  const next = socket.operations.find(
    ({ id, state }) => id === socket.nextOperationId && state === 'waiting',
  );
  const [stops, setStops] = useState(false);
  return (
    <ActForm
      act={say.findingAct}
      send={async (key) => {
        const outcome = await act(key, {
          path: '/api/v1/sockets/{socketId}/findings',
          params: { socketId: socket.id },
          body: (recordedAt) => ({
            // Left out while nothing is chosen: the service says so beside the choices.
            ...({ kind: typed.kind } as { kind: Kind }),
            note: typed.note,
            // One act with its photos: what cannot be sent now waits as one.
            photos: photos.map((base64) => ({ base64 })),
            ...(stops && next !== undefined ? { operationId: next.id } : {}),
            recordedAt,
          }),
          said: `${say.findingReport}: ${say.findingKinds[typed.kind ?? 'other']}`,
          about: socket.number,
          told: [[say.findingNote, typed.note]],
          subject: `finding:${socket.id}`,
          socketId: socket.id,
          page: place.finding(socket.id),
          draft: { name: `finding.${socket.id}`, typed },
        });
        done();
        if (outcome.kind === 'done') await readAgain();
        go(place.socket(socket.id));
      }}
    >
      {({ against }) => (
        <>
          <Choices
            label={say.findingKind}
            name="kind"
            of={
              Object.fromEntries(SEEN.map((kind) => [kind, say.findingKinds[kind]])) as Record<
                Kind,
                string
              >
            }
            value={typed.kind}
            against={against('/kind')}
            onChoose={(kind) => change({ ...typed, kind })}
          />
          <NoteField
            label={say.findingNote}
            value={typed.note}
            against={against('/note')}
            onType={(note) => change({ ...typed, note })}
          />
          <PicturesField
            label={say.findingPhoto}
            pictures={photos}
            against={photos.map((_, at) => against(`/photos/${String(at)}/base64`)).find(Boolean)}
            onChange={(taken) => change({ ...typed, photos: taken })}
          />
          {next !== undefined && (
            <Choices
              label={say.findingStops(next.title)}
              name="stops"
              of={say.yesNo}
              value={stops ? 'yes' : 'no'}
              onChoose={(chosen) => setStops(chosen === 'yes')}
            />
          )}
        </>
      )}
    </ActForm>
  );
}
