/** The prosthetist approves a layup; the signature is bound to layers, figures and basis. */
import { answered, api, type Schemas } from '../api.ts';
import { once, useReadAgain } from '../parts/act.ts';
import { SignedForm } from '../parts/signing.tsx';
import { words } from '../words/words.ts';

export function ApproveLayup({
  layup,
  onDone,
}: {
  readonly layup: Schemas['Layup'];
  readonly onDone: (said: string) => void;
}) {
  const { fitting: say } = words.value;
  const readAgain = useReadAgain();
  const path = { layupId: layup.id };
  return (
    <SignedForm
      act={say.approveLayup(layup.running)}
      body={{}}
      ask={(body) =>
        answered(api.POST('/api/v1/layups/{layupId}/approval/to-sign', { params: { path }, body }))
      }
      sign={async (key, body, signature) => {
        await answered(
          api.POST('/api/v1/layups/{layupId}/approval', {
            params: { path, header: once(key) },
            body: { ...body, signature },
          }),
        );
        onDone(say.layupApproved(layup.running));
        await readAgain();
      }}
    />
  );
}
