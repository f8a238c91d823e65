/** The pieces of a part that are in the book, and what each of them cost (C7). */
import { useState } from 'preact/hooks';
import { answered, api, type Schemas } from '../api.ts';
import { HelpHeading } from '../parts/help.tsx';
import { WentWrong } from '../parts/sheet.tsx';
import { words } from '../words/words.ts';
import { amountWords, useCurrency, type Currency } from './money.ts';
import { More, usePages } from './pagedList.tsx';
import { RecordForm } from './RecordForm.tsx';
import { ifMatch } from './values.ts';

export function Pieces({
  partId,
  onSaid,
}: {
  readonly partId: string;
  readonly onSaid: (said: string) => void;
}) {
  const { pieces: say } = words.value.admin;
  const currency = useCurrency();
  const pieces = usePages(['items', partId], (query) =>
    api.GET('/api/v1/items', { params: { query: { ...query, partId } } }),
  );
  return (
    <section>
      <HelpHeading title={say.title} text={say.help} />
      <WentWrong failure={pieces.error} retry={() => void pieces.refetch()} />
      {currency === null && <p>{say.noCurrency}</p>}
      {!pieces.isPending && pieces.lines.length === 0 && <p>{say.none}</p>}
      <ul class="lines">
        {pieces.lines.map((item) => (
          <Piece key={item.id} item={item} currency={currency ?? null} onSaid={onSaid} />
        ))}
      </ul>
      <More of={pieces} />
    </section>
  );
}

function Piece({
  item,
  currency,
  onSaid,
}: {
  readonly item: Schemas['Item'];
  readonly currency: Currency | null;
  readonly onSaid: (said: string) => void;
}) {
  const { admin } = words.value;
  const { pieces: say } = admin;
  const [open, setOpen] = useState(false);
  const path = { itemId: item.id };
  const price =
    item.priceMinor === null || currency === null
      ? say.noPrice
      : amountWords(item.priceMinor, currency);
  return (
    <li>
      <details open={open} onToggle={({ currentTarget }) => setOpen(currentTarget.open)}>
        <summary>
          <strong>{item.label}</strong>, {item.placeName}: {price}
        </summary>
        {open && currency !== null && (
          <RecordForm
            record={item}
            sectionsOf={() => [
              {
                fields: [
                  {
                    key: 'priceMinor',
                    kind: 'money',
                    label: say.price(item.label, currency.code),
                    help: say.priceHelp,
                    nullable: true,
                    decimals: currency.decimals,
                  },
                ],
              },
            ]}
            act={admin.save}
            change={(body, version) =>
              answered(
                api.PATCH('/api/v1/items/{itemId}', {
                  params: { path, header: ifMatch(version) },
                  body: body,
                }),
              )
            }
            readNow={async () =>
              (await answered(api.GET('/api/v1/items/{itemId}', { params: { path } }))).item
            }
            onSaid={onSaid}
          />
        )}
      </details>
    </li>
  );
}
