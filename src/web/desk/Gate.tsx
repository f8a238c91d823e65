/** What is missing for the delivery: how many things and which, each once; the whole folded. */
import { useQuery } from '@tanstack/preact-query';
import { answered, api, type Schemas } from '../api.ts';
import { WentWrong } from '../parts/sheet.tsx';
import { words } from '../words/words.ts';

type Missing = Schemas['DeliveryGate']['missing'];

export function Gate({ orderId }: { readonly orderId: string }) {
  const { desk: say } = words.value;
  const { data, error, refetch } = useQuery({
    queryKey: ['order', orderId, 'gate'],
    queryFn: () =>
      answered(
        api.GET('/api/v1/orders/{orderId}/delivery-gate', { params: { path: { orderId } } }),
      ),
  });
  return (
    <>
      <h2>{say.gate}</h2>
      <WentWrong failure={error} retry={() => void refetch()} />
      {data !== undefined && (data.open ? <p>{say.gateOpen}</p> : <Short missing={data.missing} />)}
    </>
  );
}

const FEW = 3;

function Short({ missing }: { readonly missing: Missing }) {
  // A few are told whole; of many, which kinds and how many of each.
  if (missing.length <= FEW) return <Whole missing={missing} />;
  const kinds = new Map<string, number>();
  for (const { title } of missing) kinds.set(title, (kinds.get(title) ?? 0) + 1);
  return (
    <details>
      <summary>
        {words.value.desk.gateMissing(missing.length)}{' '}
        {[...kinds]
          .map(([title, count]) => (count === 1 ? title : `${title} (${count})`))
          .join(' · ')}
      </summary>
      <Whole missing={missing} />
    </details>
  );
}

const Whole = ({ missing }: { readonly missing: Missing }) => (
  <ul>
    {missing.map(({ code, detail, wayOut }, at) => (
      <li key={`${code} ${String(at)}`}>
        {detail} {wayOut}
      </li>
    ))}
  </ul>
);
