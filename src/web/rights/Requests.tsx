/** What a patient asked to be corrected: recorded at the desk, decided by a prosthetist, answered by a statement. */
import { useState } from 'preact/hooks';
import { DENIAL_GROUNDS } from '../../domain/corrections.ts';
import { answered, api, type Schemas } from '../api.ts';
import { asChosen, once, useReadAgain } from '../parts/act.ts';
import { Choices, TextField } from '../parts/fields.tsx';
import { ActForm } from '../parts/form.tsx';
import { useInstantWords } from '../parts/instants.ts';
import { NoteField } from '../parts/noteField.tsx';
import { SelectField } from '../parts/selectField.tsx';
import { may } from '../session/session.ts';
import { dayWords, words } from '../words/words.ts';
import type { Rights } from './rights.ts';

type Request = Schemas['CorrectionRequest'];
type Decision = NonNullable<Request['decision']>;
type Ground = NonNullable<Request['denialGround']>;

export function Requests({ of }: { readonly of: Rights }) {
  const { rights: say } = words.value;
  return (
    <section>
      <h2>{say.requests}</h2>
      {of.requests.length === 0 && <p>{say.noRequest}</p>}
      <ul class="lines">
        {of.requests.map((request) => (
          <Line key={request.id} request={request} />
        ))}
      </ul>
      {may('front_desk', 'prosthetist') && <Record patientId={of.patientId} />}
    </section>
  );
}

function Line({ request }: { readonly request: Request }) {
  const { rights: say } = words.value;
  const at = useInstantWords();
  const { id, askedOn, said, decision, decideBy, denialGround, decisionReason } = request;
  const mayAnswer = may('front_desk', 'prosthetist');
  return (
    <li>
      <strong>{dayWords(askedOn)}</strong> {said}
      {decision === null ? (
        <div class="caution">{say.decideUntil(dayWords(decideBy))}</div>
      ) : (
        <div>
          {say.decidedBy(
            say.decisions[decision],
            request.decidedBy ?? '',
            at(request.decidedAt ?? ''),
          )}
          {denialGround !== null && `: ${say.grounds[denialGround]}`}. {decisionReason}
        </div>
      )}
      {request.disagreement !== null && (
        <div>
          <small>{say.disagreement}</small> {request.disagreement}
        </div>
      )}
      {decision === null && may('prosthetist') && <Decide id={id} />}
      {decision === 'denied' && request.disagreement === null && mayAnswer && <Disagree id={id} />}
    </li>
  );
}

function Record({ patientId }: { readonly patientId: string }) {
  const { rights: say } = words.value;
  const readAgain = useReadAgain();
  const [askedOn, setAskedOn] = useState('');
  const [said, setSaid] = useState('');
  const send = async (key: string): Promise<void> => {
    await answered(
      api.POST('/api/v1/patients/{patientId}/correction-requests', {
        params: { path: { patientId }, header: once(key) },
        body: { askedOn, said },
      }),
    );
    setSaid('');
    await readAgain();
  };
  return (
    <details>
      <summary>{say.record}</summary>
      <ActForm act={say.record} send={send}>
        {({ against }) => (
          <>
            <TextField
              label={say.askedOn}
              type="date"
              value={askedOn}
              against={against('/askedOn')}
              onInput={({ currentTarget }) => setAskedOn(currentTarget.value)}
            />
            <NoteField label={say.said} value={said} against={against('/said')} onType={setSaid} />
          </>
        )}
      </ActForm>
    </details>
  );
}

function Decide({ id }: { readonly id: string }) {
  const { rights: say } = words.value;
  const readAgain = useReadAgain();
  const [decision, setDecision] = useState<Decision>();
  const [ground, setGround] = useState('');
  const [reason, setReason] = useState('');
  const denied = decision === 'denied';
  const send = async (key: string): Promise<void> => {
    await answered(
      api.POST('/api/v1/correction-requests/{correctionRequestId}/decision', {
        params: { path: { correctionRequestId: id }, header: once(key) },
        body: {
          decision: asChosen(decision),
          reason,
          ...(denied && ground !== '' ? { denialGround: ground as Ground } : {}),
        },
      }),
    );
    await readAgain();
  };
  return (
    <details>
      <summary>{say.decide}</summary>
      <ActForm act={say.decide} send={send}>
        {({ against }) => (
          <>
            <Choices
              label={say.decision}
              name={`decision-${id}`}
              of={say.decisions}
              value={decision}
              against={against('/decision')}
              onChoose={setDecision}
            />
            {denied && (
              <SelectField
                label={say.ground}
                of={[
                  ['', say.choose],
                  ...DENIAL_GROUNDS.map((each) => [each, say.grounds[each]] as const),
                ]}
                value={ground}
                against={against('/denialGround')}
                onChoose={setGround}
              />
            )}
            <NoteField
              label={say.reason}
              value={reason}
              against={against('/reason')}
              onType={setReason}
            />
          </>
        )}
      </ActForm>
    </details>
  );
}

function Disagree({ id }: { readonly id: string }) {
  const { rights: say } = words.value;
  const readAgain = useReadAgain();
  const [statement, setStatement] = useState('');
  const send = async (key: string): Promise<void> => {
    await answered(
      api.POST('/api/v1/correction-requests/{correctionRequestId}/disagreement', {
        params: { path: { correctionRequestId: id }, header: once(key) },
        body: { statement },
      }),
    );
    await readAgain();
  };
  return (
    <details>
      <summary>{say.addDisagreement}</summary>
      <ActForm act={say.addDisagreement} send={send}>
        {({ against }) => (
          <NoteField
            label={say.disagreement}
            value={statement}
            against={against('/statement')}
            onType={setStatement}
          />
        )}
      </ActForm>
    </details>
  );
}
