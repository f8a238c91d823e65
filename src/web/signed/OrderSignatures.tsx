/** Every signature on an order: who, when, and whether the thing signed is otherwise since. */
import { useQuery } from '@tanstack/preact-query';
import { Link } from 'wouter-preact';
import { answered, api, type Schemas } from '../api.ts';
import { signaturePage } from '../links.ts';
import { useInstantWords } from '../parts/instants.ts';
import { WentWrong } from '../parts/sheet.tsx';
import { words } from '../words/words.ts';

type Signature = Schemas['SignatureList']['items'][number];

export function OrderSignatures({ orderId }: { readonly orderId: string }) {
  const { signing: say } = words.value;
  const { data, error, refetch } = useQuery({
    queryKey: ['signatures', orderId],
    queryFn: () =>
      answered(api.GET('/api/v1/orders/{orderId}/signatures', { params: { path: { orderId } } })),
  });
  return (
    <>
      <h2>{say.signatures}</h2>
      <WentWrong failure={error} retry={() => void refetch()} />
      {data?.items.length === 0 && <p>{say.nothingSigned}</p>}
      {data !== undefined && data.items.length > 0 && <Table of={data.items} />}
    </>
  );
}

function Table({ of }: { readonly of: readonly Signature[] }) {
  const { signing: say } = words.value;
  const instantWords = useInstantWords();
  return (
    <table class="stacked">
      <thead>
        <tr>
          <th>{say.meaning}</th>
          <th>{say.signedBy}</th>
          <th>{say.signedAt}</th>
          <th>{say.since}</th>
        </tr>
      </thead>
      <tbody>
        {of.map((signature) => (
          <tr key={signature.id}>
            <td class="sentence" data-label={say.meaning}>
              <Link class="touch" href={signaturePage(signature.id)}>
                {say.meanings[signature.meaning]}
              </Link>
            </td>
            <td data-label={say.signedBy}>{signature.printedName}</td>
            <td data-label={say.signedAt}>{instantWords(signature.signedAt)}</td>
            <td data-label={say.since}>{standingWords(signature)}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

/** In a few words: kept as signed, or of an earlier state, or no longer what was signed. */
export function standingWords({
  intact,
  differencesSince,
  correctedSince,
}: Pick<Signature, 'intact' | 'differencesSince' | 'correctedSince'>): string {
  const { signing: say } = words.value;
  if (!intact) return say.notIntact;
  const stands = differencesSince === 0 ? say.asSigned : say.ofEarlier(differencesSince);
  return correctedSince === 0 ? stands : `${stands}; ${say.corrected(correctedSince)}`;
}
