import { useQuery } from '@tanstack/preact-query';
import { answered, api } from '../api.ts';
import { words } from '../words/words.ts';
import { patientInFull } from './patients.ts';

/** Whose orders the list shows, and the way back to all. */
export function OrdersOf({
  patientId,
  onAll,
}: {
  readonly patientId: string;
  readonly onAll: () => void;
}) {
  const { desk: say } = words.value;
  const { data } = useQuery({
    queryKey: ['patient', patientId],
    queryFn: () =>
      answered(api.GET('/api/v1/patients/{patientId}', { params: { path: { patientId } } })),
  });
  return (
    <p class="picked">
      {say.ordersOf} <strong>{data === undefined ? '…' : patientInFull(data)}</strong>{' '}
      <button type="button" onClick={onAll}>
        {say.allOrders}
      </button>
    </p>
  );
}
