/** One signature: exactly what was signed, and what is otherwise since. */
import { useQuery } from '@tanstack/preact-query';
import { Link } from 'wouter-preact';
import { answered, api, type Schemas } from '../api.ts';
import { orderPage } from '../links.ts';
import { useInstantWords } from '../parts/instants.ts';
import { Facts, Loading, Sheet, WentWrong } from '../parts/sheet.tsx';
import { labelOf, SignedContent, SignedValue, valueName } from '../parts/signedContent.tsx';
import { CorrectedHere } from '../rights/CorrectedHere.tsx';
import { words } from '../words/words.ts';
import { standingWords } from './OrderSignatures.tsx';

type Signature = Schemas['Signature'];

export function SignaturePage({ params: { signatureId } }: { params: { signatureId: string } }) {
  const { signing: say } = words.value;
  const { data, error, refetch } = useQuery({
    queryKey: ['signature', signatureId],
    queryFn: () =>
      answered(api.GET('/api/v1/signatures/{signatureId}', { params: { path: { signatureId } } })),
  });
  return (
    <Sheet title={say.signature}>
      <WentWrong failure={error} retry={() => void refetch()} />
      {data === undefined ? error === null && <Loading /> : <Told signature={data} />}
    </Sheet>
  );
}

function Told({ signature }: { readonly signature: Signature }) {
  const { signing: say } = words.value;
  const instantWords = useInstantWords();
  return (
    <>
      <blockquote>{say.meanings[signature.meaning]}</blockquote>
      <Facts
        of={[
          [say.signedBy, signature.printedName],
          [say.signedAt, instantWords(signature.signedAt)],
          [say.since, standingWords(signature)],
          [say.fingerprint, <code class="noted">{signature.contentSha256}</code>],
        ]}
      />
      {signature.orderId !== null && (
        <p>
          <Link class="touch" href={orderPage(signature.orderId)}>
            {say.toOrder}
          </Link>
        </p>
      )}
      <h2>{say.otherwise}</h2>
      {signature.since.length === 0 ? (
        <p>{say.nothingOtherwise}</p>
      ) : (
        <>
          <p>{say.otherwiseHint}</p>
          <Since of={signature.since} />
        </>
      )}
      {signature.corrections.length > 0 && (
        <>
          <h2>{say.correctedSince}</h2>
          <p>{say.correctedSinceHint}</p>
          <CorrectedHere named of={signature.corrections} />
        </>
      )}
      <h2>{say.asItWasSigned}</h2>
      <SignedContent content={signature.content} />
      {signature.withheld.length > 0 && (
        <p>{say.withheld(signature.withheld.map(labelOf).join(', '))}</p>
      )}
      <p>{say.rounded}</p>
    </>
  );
}

function Since({ of }: { readonly of: Signature['since'] }) {
  const { signing: say } = words.value;
  return (
    <table class="stacked pairs">
      <thead>
        <tr>
          <th>{say.field}</th>
          <th>{say.signedValue}</th>
          <th>{say.nowValue}</th>
        </tr>
      </thead>
      <tbody>
        {of.map(({ field, of: which, signed, now }) => (
          <tr key={`${field} ${which ?? ''}`}>
            <td data-label={say.field}>
              {which === null ? labelOf(field) : `${labelOf(field)}: ${valueName(which)}`}
            </td>
            <td data-label={say.signedValue}>
              <SignedValue field={field} value={signed} />
            </td>
            <td data-label={say.nowValue}>
              <SignedValue field={field} value={now} />
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}
