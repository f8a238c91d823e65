/** A socket on the limb: a check socket's fit is judged, a definitive one's alignment measured. */
import { useQuery } from '@tanstack/preact-query';
import { useState } from 'preact/hooks';
import { Link } from 'wouter-preact';
import { answered, api } from '../api.ts';
import { orderPage } from '../links.ts';
import { Choices } from '../parts/fields.tsx';
import { Done } from '../parts/done.tsx';
import { Photos } from '../parts/photos.tsx';
import { Facts, Loading, Sheet, WentWrong } from '../parts/sheet.tsx';
import { may } from '../session/session.ts';
import { massWords } from '../words/units.ts';
import { words } from '../words/words.ts';
import { AcceptFit } from './AcceptFit.tsx';
import { AlignmentRecord } from './AlignmentRecord.tsx';
import { patientSeen, useOrder, useSocket } from './order.ts';
import { RefuseFit } from './RefuseFit.tsx';
import { standsOpen } from './standsOpen.ts';

type Judgement = 'accept' | 'refuse';

export function FitPage({ params: { socketId } }: { params: { socketId: string } }) {
  const { fitting: say, sides, levels, suspensions } = words.value;
  const [done, setDone] = useState('');
  const [judgement, setJudgement] = useState<Judgement>();
  const { data: socket, error } = useSocket(socketId);
  const alignments = useQuery({
    queryKey: ['alignments', socketId],
    queryFn: () =>
      answered(
        api.GET('/api/v1/sockets/{socketId}/alignments', { params: { path: { socketId } } }),
      ),
  });
  const order = useOrder(socket?.order.id);
  const failure = error ?? order.error ?? alignments.error;
  if (socket === undefined || order.data === undefined) {
    return (
      <Sheet title={say.fitTitle}>
        {failure === null ? <Loading /> : <WentWrong failure={failure} />}
      </Sheet>
    );
  }
  const open = standsOpen(socket);
  const judged =
    socket.kind === 'check' && socket.state === 'in_work' && socket.order.stage === 'check_fitting';
  return (
    <Sheet
      title={`${socket.kind === 'check' ? say.fitTitle : say.alignmentTitle} · ${socket.number}`}
    >
      <Facts
        of={[
          [say.patient, patientSeen(order.data.patient)],
          [
            say.limb,
            `${sides[order.data.side]}, ${levels[order.data.level]}, ${suspensions[order.data.suspension]}`,
          ],
          [say.bodyMass, socket.bodyMassKg === null ? null : massWords(socket.bodyMassKg)],
          [say.socketState, `${say.socketKinds[socket.kind]}, ${say.socketStates[socket.state]}`],
          [say.cast, String(socket.castNumber)],
          [say.order, <Link href={orderPage(socket.order.id)}>{socket.order.number}</Link>],
        ]}
      />
      <Photos socketId={socket.id} />
      <Done said={done} />
      <WentWrong failure={failure} />
      {judged && open.length > 0 && (
        <section aria-label={say.openTitle}>
          <h2>{say.openTitle}</h2>
          <ul>
            {open.map((each) => (
              <li key={each}>{each}</li>
            ))}
          </ul>
        </section>
      )}
      {judged && may('prosthetist') && (
        <>
          <Choices
            label={say.judgement}
            name="judgement"
            of={say.judgements}
            value={judgement}
            onChoose={setJudgement}
          />
          {judgement === 'accept' && (
            <AcceptFit socket={socket} record={alignments.data} onDone={setDone} />
          )}
          {judgement === 'refuse' && (
            <RefuseFit socket={socket} level={order.data.level} onDone={setDone} />
          )}
        </>
      )}
      {alignments.data !== undefined && (
        <AlignmentRecord socket={socket} record={alignments.data} onDone={setDone} />
      )}
    </Sheet>
  );
}
