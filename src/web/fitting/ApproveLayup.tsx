/** The prosthetist approves a layup; the signature is bound to layers, figures and basis. */
import { useState } from 'preact/hooks';
import { answered, api, type Schemas } from '../api.ts';
import { once, useReadAgain } from '../parts/act.ts';
import { ActForm } from '../parts/form.tsx';
import { Signing } from '../parts/signing.tsx';
import { massWords } from '../words/units.ts';
import { dayWords, words } from '../words/words.ts';
import { figureLines } from './LayupShown.tsx';

export function ApproveLayup({
  layup,
  onDone,
}: {
  readonly layup: Schemas['Layup'];
  readonly onDone: (said: string) => void;
}) {
  const { fitting: say } = words.value;
  const readAgain = useReadAgain();
  const [password, setPassword] = useState('');
  const { patient, row, limb, resin, fibreMassFraction } = layup.basis;
  const send = async (key: string): Promise<void> => {
    const params = { path: { layupId: layup.id }, header: once(key) };
    const body = { signature: { password } };
    try {
      await answered(api.POST('/api/v1/layups/{layupId}/approval', { params, body }));
    } finally {
      setPassword('');
    }
    onDone(say.layupApproved(layup.running));
    await readAgain();
  };
  return (
    <ActForm act={say.approveLayup(layup.running)} send={send}>
      {({ against }) => (
        <Signing
          meaning={say.meanings.layup_approved}
          content={[
            [say.socket, layup.socketNumber],
            [say.layupTitle, String(layup.running)],
            [say.fromRow, layup.ruleRow ?? say.notAsProposed],
            [say.whyField, layup.why],
            ...figureLines(layup.figures),
            [say.bodyMass, say.massOn(massWords(patient.bodyMassKg), dayWords(patient.bodyMassOn))],
            [say.functionalLevel, patient.functionalLevel],
            [say.rulesInForce, row === null ? say.noRow : say.byRow(row.name, row.version)],
            [say.measuresFrom, say.fromCast(limb.castNumber, dayWords(limb.takenOn))],
            [say.fibreMassFraction, String(fibreMassFraction)],
            [say.resin, `${resin.name}, ${resin.densityGcm3} g/cm³`],
            [
              say.layers,
              <ol class="plain">
                {layup.inWords.map((line, at) => (
                  <li key={at}>{line}</li>
                ))}
              </ol>,
            ],
          ]}
          password={password}
          onType={setPassword}
          against={against('/signature/password')}
        />
      )}
    </ActForm>
  );
}
