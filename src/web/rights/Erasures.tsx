/** Erasure: an administrator asks, a prosthetist confirms by signature; what was done stays told. */
import { useState } from 'preact/hooks';
import { ERASABLE, type Erasable } from '../../domain/retention.ts';
import { answered, api, type Schemas } from '../api.ts';
import { once, useReadAgain } from '../parts/act.ts';
import { TextField } from '../parts/fields.tsx';
import { ActForm } from '../parts/form.tsx';
import { useInstantWords } from '../parts/instants.ts';
import { NoteField } from '../parts/noteField.tsx';
import { SignedForm } from '../parts/signing.tsx';
import { may } from '../session/session.ts';
import { words } from '../words/words.ts';
import type { Rights } from './rights.ts';

type Erasure = Schemas['Erasure'];

export function Erasures({ of }: { readonly of: Rights }) {
  const { rights: say } = words.value;
  const waits = of.erasures.some(({ state }) => state === 'asked');
  return (
    <section>
      <h2>{say.erasures}</h2>
      <p>{say.eraseIntro}</p>
      {of.erasures.length === 0 && <p>{say.noErasure}</p>}
      <ul class="lines">
        {of.erasures.map((erasure) => (
          <Line key={erasure.id} erasure={erasure} />
        ))}
      </ul>
      {may('administrator') && !waits && !of.identityErased && <Ask patientId={of.patientId} />}
    </section>
  );
}

function Line({ erasure }: { readonly erasure: Erasure }) {
  const { rights: say } = words.value;
  const at = useInstantWords();
  const { id, what, why, legalBasis, state } = erasure;
  return (
    <li>
      <strong>{what.map((each) => say.whats[each]).join(', ')}</strong>: {say.erasureStates[state]}{' '}
      {erasure.settledAt !== null && say.settledBy(erasure.settledBy ?? '', at(erasure.settledAt))}
      <div>
        {why} ({legalBasis})
      </div>
      <small>{say.askedBy(erasure.askedBy, at(erasure.askedAt))}</small>
      {state === 'asked' && may('prosthetist') && <Confirm id={id} />}
      {state === 'asked' && may('administrator') && <Withdraw id={id} />}
    </li>
  );
}

function Confirm({ id }: { readonly id: string }) {
  const { rights: say } = words.value;
  const readAgain = useReadAgain();
  const path = { erasureId: id };
  return (
    <SignedForm
      act={say.confirmErase}
      body={{}}
      ask={(body) =>
        answered(
          api.POST('/api/v1/erasures/{erasureId}/confirmation/to-sign', { params: { path }, body }),
        )
      }
      sign={async (key, _body, signature) => {
        await answered(
          api.POST('/api/v1/erasures/{erasureId}/confirmation', {
            params: { path, header: once(key) },
            body: { signature },
          }),
        );
        await readAgain();
      }}
    />
  );
}

function Withdraw({ id }: { readonly id: string }) {
  const { rights: say } = words.value;
  const readAgain = useReadAgain();
  const send = async (key: string): Promise<void> => {
    await answered(
      api.POST('/api/v1/erasures/{erasureId}/withdrawal', {
        params: { path: { erasureId: id }, header: once(key) },
      }),
    );
    await readAgain();
  };
  return (
    <ActForm act={say.withdraw} send={send}>
      {() => null}
    </ActForm>
  );
}

function Ask({ patientId }: { readonly patientId: string }) {
  const { rights: say } = words.value;
  const readAgain = useReadAgain();
  const [what, setWhat] = useState<readonly Erasable[]>([]);
  const [why, setWhy] = useState('');
  const [legalBasis, setLegalBasis] = useState('');
  const send = async (key: string): Promise<void> => {
    await answered(
      api.POST('/api/v1/patients/{patientId}/erasures', {
        params: { path: { patientId }, header: once(key) },
        body: { what: [...what], why, legalBasis },
      }),
    );
    setWhat([]);
    setWhy('');
    await readAgain();
  };
  return (
    <details>
      <summary>{say.askErase}</summary>
      <ActForm act={say.askErase} send={send}>
        {({ against }) => (
          <>
            <fieldset>
              <legend>{say.what}</legend>
              <div class="choices">
                {ERASABLE.map((each) => (
                  <label key={each}>
                    <input
                      type="checkbox"
                      checked={what.includes(each)}
                      aria-invalid={against('/what') === undefined ? undefined : 'true'}
                      onChange={({ currentTarget }) =>
                        setWhat(
                          currentTarget.checked
                            ? [...what, each]
                            : what.filter((other) => other !== each),
                        )
                      }
                    />
                    {say.whats[each]}
                  </label>
                ))}
              </div>
              {against('/what') !== undefined && <span class="against">{against('/what')}</span>}
            </fieldset>
            <NoteField
              label={say.reason}
              hint={say.eraseWhyHint}
              value={why}
              against={against('/why')}
              onType={setWhy}
            />
            <TextField
              label={say.legalBasis}
              autocomplete="off"
              value={legalBasis}
              against={against('/legalBasis')}
              onInput={({ currentTarget }) => setLegalBasis(currentTarget.value)}
            />
          </>
        )}
      </ActForm>
    </details>
  );
}
