/** The parts of the catalogue: what they bear, and the setting that their screws are torqued by. */
import { Link, useSearchParams } from 'wouter-preact';
import { PART_KINDS } from '../../domain/words.ts';
import { api, type Schemas } from '../api.ts';
import { SelectField } from '../parts/selectField.tsx';
import { Loading, WentWrong } from '../parts/sheet.tsx';
import { words } from '../words/words.ts';
import { newPage, partPage } from './addresses.ts';
import { AdminSheet } from './AdminSheet.tsx';
import { More, usePages } from './pagedList.tsx';
import { bandWords } from './settingWords.ts';

export function Parts() {
  const { admin: say } = words.value;
  const [asked, setAsked] = useSearchParams();
  const kind = PART_KINDS.find((each) => each === asked.get('kind'));
  const active = asked.get('withdrawn') === 'true' ? ('false' as const) : ('true' as const);
  const ask = (change: { kind?: string; withdrawn?: string }): void => {
    const now = { kind: kind ?? '', withdrawn: active === 'false' ? 'true' : '', ...change };
    setAsked(Object.fromEntries(Object.entries(now).filter(([, value]) => value !== '')), {
      replace: true,
    });
  };
  const parts = usePages(['parts', kind, active], (query) =>
    api.GET('/api/v1/parts', {
      params: { query: { ...query, active, ...(kind === undefined ? {} : { kind }) } },
    }),
  );
  return (
    <AdminSheet title={say.entries.parts.title}>
      <p>
        <Link class="act" href={newPage('parts')}>
          {say.parts.enter}
        </Link>
      </p>
      <div class="filters">
        <SelectField
          label={say.parts.catalogue.kind}
          of={[['', say.parts.everyKind], ...Object.entries(say.parts.kinds)]}
          value={kind ?? ''}
          onChoose={(chosen) => ask({ kind: chosen })}
        />
        <label class="tick">
          <input
            type="checkbox"
            checked={active === 'false'}
            onChange={({ currentTarget }) =>
              ask({ withdrawn: currentTarget.checked ? 'true' : '' })
            }
          />
          {say.parts.withdrawnOnly}
        </label>
      </div>
      <WentWrong failure={parts.error} retry={() => void parts.refetch()} />
      {parts.isPending ? <Loading /> : <Table parts={parts.lines} />}
      <More of={parts} />
    </AdminSheet>
  );
}

function Table({ parts }: { readonly parts: readonly Schemas['Part'][] }) {
  const { parts: say, none } = words.value.admin;
  if (parts.length === 0) return <p>{none}</p>;
  return (
    <table class="stacked record-list">
      <thead>
        <tr>
          <th>{say.catalogue.name}</th>
          <th>{say.catalogue.kind}</th>
          <th>{say.catalogue.ratedBodyMassKg}</th>
          <th>{say.settingInForce}</th>
        </tr>
      </thead>
      <tbody>
        {parts.map((part) => (
          <tr key={part.id}>
            <td>
              <Link class="touch" href={partPage(part.id)}>
                <strong>{part.name}</strong>
              </Link>
              <div>{part.catalogueNumber}</div>
            </td>
            <td data-label={say.catalogue.kind}>{say.kinds[part.kind]}</td>
            <td data-label={say.catalogue.ratedBodyMassKg}>{part.ratedBodyMassKg ?? '–'}</td>
            <td data-label={say.settingInForce}>
              {part.settings
                .filter(({ supersededAt }) => supersededAt === null)
                .map((setting) => (
                  <div key={setting.id}>
                    {say.joints[setting.jointKind]}: {bandWords(setting)}
                    <div class="hint">{say.fromDocument(setting.document, setting.revision)}</div>
                  </div>
                ))}
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}
