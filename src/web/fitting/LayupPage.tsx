/** The layup of a definitive socket: what the rules propose, what was drafted, the signature on it. */
import { useQuery } from '@tanstack/preact-query';
import { useState } from 'preact/hooks';
import { Link } from 'wouter-preact';
import { sectionFigure } from '../../documents/figures/section.ts';
import { answered, api, type Schemas } from '../api.ts';
import { orderPage } from '../links.ts';
import { once, useReadAgain } from '../parts/act.ts';
import { Drawing } from '../parts/drawing.tsx';
import { FigureDrawing } from '../parts/figure.tsx';
import { ActForm } from '../parts/form.tsx';
import { useInstantWords } from '../parts/instants.ts';
import { Done } from '../parts/done.tsx';
import { Facts, Loading, Sheet, WentWrong } from '../parts/sheet.tsx';
import { Wide } from '../parts/wide.tsx';
import { may } from '../session/session.ts';
import { massWords } from '../words/units.ts';
import { dayWords, words } from '../words/words.ts';
import { ApproveLayup } from './ApproveLayup.tsx';
import { LayupEditor } from './LayupEditor.tsx';
import { LayupShown } from './LayupShown.tsx';
import { useSocket } from './order.ts';

type Layup = Schemas['Layup'];
type Proposal = Schemas['LayupProposal'];

export function LayupPage({ params: { socketId } }: { params: { socketId: string } }) {
  const { fitting: say } = words.value;
  const [done, setDone] = useState('');
  const { data: socket, error } = useSocket(socketId);
  const path = { params: { path: { socketId } } };
  const layup = useQuery({
    queryKey: ['layup', socketId],
    // Before anything is drafted there is nothing to read.
    enabled: socket !== undefined && socket.layup !== null,
    queryFn: () => answered(api.GET('/api/v1/sockets/{socketId}/layup', path)),
  });
  const proposal = useQuery({
    queryKey: ['layup-proposal', socketId],
    queryFn: () => answered(api.GET('/api/v1/sockets/{socketId}/layup/proposal', path)),
  });
  if (socket === undefined) {
    return (
      <Sheet title={say.layupTitle}>
        {error === null ? <Loading /> : <WentWrong failure={error} />}
      </Sheet>
    );
  }
  const patient = (layup.data ?? proposal.data)?.basis.patient;
  const laminated = socket.curedAt !== null;
  const drafts = socket.state === 'in_work' && !laminated && may('technician', 'prosthetist');
  return (
    <Sheet title={`${say.layupTitle} · ${socket.number}`}>
      <Facts
        of={[
          [say.chartNumber, socket.chartNumber],
          [
            say.bodyMass,
            patient && say.massOn(massWords(patient.bodyMassKg), dayWords(patient.bodyMassOn)),
          ],
          [say.functionalLevel, patient?.functionalLevel],
          [say.cast, String(socket.castNumber)],
          [say.order, <Link href={orderPage(socket.order.id)}>{socket.order.number}</Link>],
        ]}
      />
      <Done said={done} />
      <WentWrong failure={error ?? layup.error} />
      {layup.data !== undefined && socket.layup !== null && (
        <Drafted layup={layup.data} onDone={setDone} />
      )}
      {socket.layup === null && (
        <>
          <WentWrong failure={proposal.error} />
          {proposal.data !== undefined && <Proposed proposal={proposal.data} onDone={setDone} />}
        </>
      )}
      {drafts && (proposal.data !== undefined || proposal.error !== null) && (
        <details>
          <summary>{socket.layup === null ? say.writeAnother : say.changeLayup}</summary>
          <LayupEditor
            key={layup.data?.id ?? 'first'}
            socketId={socketId}
            from={layup.data ?? proposal.data}
            onDone={setDone}
          />
        </details>
      )}
    </Sheet>
  );
}

function Drafted({ layup, onDone }: { layup: Layup; onDone: (said: string) => void }) {
  const { fitting: say } = words.value;
  const at = useInstantWords();
  const { id, running, approvedAt, approvedBy, ruleRow, why } = layup;
  return (
    <section aria-label={say.layupOf(running)}>
      <h2>
        {say.layupOf(running)}: {approvedAt === null ? say.draft : say.approved}
      </h2>
      <Facts
        of={[
          [say.draftedBy, `${layup.draftedBy}, ${at(layup.draftedAt)}`],
          [say.fromRow, ruleRow ?? say.notAsProposed],
          [say.whyField, why],
          [say.approvedBy, approvedAt === null ? null : `${approvedBy ?? ''}, ${at(approvedAt)}`],
        ]}
      />
      <Drawing
        name={['section', id, approvedAt ?? '']}
        words={say.sectionOf(running, layup.inWords.join('; '))}
        read={() =>
          answered(
            api.GET('/api/v1/layups/{layupId}/section.svg', {
              params: { path: { layupId: id } },
              parseAs: 'text',
            }),
          )
        }
      />
      <LayupShown layup={layup} />
      {approvedAt === null && may('prosthetist') && <ApproveLayup layup={layup} onDone={onDone} />}
    </section>
  );
}

function Proposed({ proposal, onDone }: { proposal: Proposal; onDone: (said: string) => void }) {
  const { fitting: say } = words.value;
  const readAgain = useReadAgain();
  const { socketId, socketNumber, lines, figures, row } = proposal;
  const take = async (key: string): Promise<void> => {
    const params = { path: { socketId }, header: once(key) };
    await answered(
      api.POST('/api/v1/sockets/{socketId}/layups', { params, body: { lines: [...lines] } }),
    );
    onDone(say.layupDrafted);
    await readAgain();
  };
  const drawn = { socketNumber, running: 1, approved: false, lines, figures };
  return (
    <section aria-label={say.proposed}>
      <h2>{say.proposed}</h2>
      <p>{say.byRow(row.name, row.version)}</p>
      <figure class="drawn">
        <Wide words={say.proposed}>
          <FigureDrawing figure={sectionFigure(drawn)} />
        </Wide>
      </figure>
      <LayupShown layup={proposal} />
      {may('technician', 'prosthetist') && (
        <ActForm act={say.takeProposal} send={take}>
          {() => null}
        </ActForm>
      )}
    </section>
  );
}
