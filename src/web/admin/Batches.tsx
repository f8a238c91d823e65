/** The batches in the book, what is left of each, and what it cost (C7). */
import { useState } from 'preact/hooks';
import { BATCH_KINDS } from '../../domain/words.ts';
import { answered, api, type Schemas } from '../api.ts';
import { SelectField } from '../parts/selectField.tsx';
import { Facts, Loading, WentWrong } from '../parts/sheet.tsx';
import { dayWords, words } from '../words/words.ts';
import { AdminSheet } from './AdminSheet.tsx';
import { amountWords, useCurrency, type Currency } from './money.ts';
import { More, usePages } from './pagedList.tsx';
import { RecordForm } from './RecordForm.tsx';
import { ifMatch } from './values.ts';

type Batch = Schemas['Batch'];

export function Batches() {
  const { admin } = words.value;
  const { batches: say } = admin;
  const [said, setSaid] = useState('');
  const [chosen, setChosen] = useState('');
  const currency = useCurrency();
  const kind = BATCH_KINDS.find((each) => each === chosen);
  const batches = usePages(['batches', kind], (query) =>
    api.GET('/api/v1/batches', {
      params: { query: { ...query, ...(kind === undefined ? {} : { kind }) } },
    }),
  );
  return (
    <AdminSheet title={admin.entries.batches.title} said={said}>
      <p>{say.says}</p>
      {currency === null && <p class="caution">{admin.pieces.noCurrency}</p>}
      <SelectField
        label={say.kind}
        of={[['', say.everyKind], ...Object.entries(admin.batchKinds)]}
        value={chosen}
        onChoose={setChosen}
      />
      <WentWrong failure={batches.error} retry={() => void batches.refetch()} />
      {batches.isPending && <Loading />}
      {!batches.isPending && batches.lines.length === 0 && <p>{admin.none}</p>}
      <ul class="lines">
        {batches.lines.map((batch) => (
          <OneBatch key={batch.id} batch={batch} currency={currency ?? null} onSaid={setSaid} />
        ))}
      </ul>
      <More of={batches} />
    </AdminSheet>
  );
}

function OneBatch({
  batch,
  currency,
  onSaid,
}: {
  readonly batch: Batch;
  readonly currency: Currency | null;
  readonly onSaid: (said: string) => void;
}) {
  const { admin } = words.value;
  const { batches: say } = admin;
  const [open, setOpen] = useState(false);
  return (
    <li>
      <details open={open} onToggle={({ currentTarget }) => setOpen(currentTarget.open)}>
        <summary>
          <strong>{batch.name}</strong>, {admin.batchKinds[batch.kind]}, {say.lot(batch.lot)}:{' '}
          {say.left(batch.left, batch.unit)}
          {batch.quarantined && <> · {say.quarantined}</>}
          {batch.expired && <> · {say.expired}</>}
        </summary>
        {open && <BatchFacts batch={batch} currency={currency} />}
        {open && currency !== null && (
          <BatchPrice batch={batch} currency={currency} onSaid={onSaid} />
        )}
      </details>
    </li>
  );
}

function BatchFacts({
  batch,
  currency,
}: {
  readonly batch: Batch;
  readonly currency: Currency | null;
}) {
  const { batches: say, pieces } = words.value.admin;
  return (
    <Facts
      of={[
        [say.received, dayWords(batch.receivedOn)],
        [say.opened, batch.openedOn === null ? null : dayWords(batch.openedOn)],
        [say.expires, batch.expiresOn === null ? null : dayWords(batch.expiresOn)],
        [say.of, batch.resinProduct ?? batch.fabric],
        [say.why, batch.quarantineReason],
        [
          say.cost,
          batch.priceMinor === null || currency === null
            ? pieces.noPrice
            : amountWords(batch.priceMinor, currency),
        ],
      ]}
    />
  );
}

function BatchPrice({
  batch,
  currency,
  onSaid,
}: {
  readonly batch: Batch;
  readonly currency: Currency;
  readonly onSaid: (said: string) => void;
}) {
  const { admin } = words.value;
  const path = { batchId: batch.id };
  return (
    <RecordForm
      record={batch}
      sectionsOf={() => [
        {
          fields: [
            {
              key: 'priceMinor',
              kind: 'money',
              label: admin.batches.price(batch.lot, currency.code),
              help: admin.batches.priceHelp,
              nullable: true,
              decimals: currency.decimals,
            },
          ],
        },
      ]}
      act={admin.save}
      change={(body, version) =>
        answered(
          api.PATCH('/api/v1/batches/{batchId}', {
            params: { path, header: ifMatch(version) },
            body: body,
          }),
        )
      }
      readNow={() => answered(api.GET('/api/v1/batches/{batchId}', { params: { path } }))}
      onSaid={onSaid}
    />
  );
}
