/** The layup rules: the version in force to edit, what it would propose, and every version before. */
import { useQuery } from '@tanstack/preact-query';
import { useState } from 'preact/hooks';
import { answered, api } from '../api.ts';
import { Loading, WentWrong } from '../parts/sheet.tsx';
import { words } from '../words/words.ts';
import { AdminSheet } from './AdminSheet.tsx';
import { rulesChanges } from './rulesChanges.ts';
import { RulesForm } from './RulesForm.tsx';
import { Versions } from './Versions.tsx';
import { readRules } from './versionsRead.ts';

export function LayupRulesPage() {
  const { admin } = words.value;
  const [said, setSaid] = useState('');
  const versions = useQuery({ queryKey: ['layup-rules', 'versions'], queryFn: readRules });
  const fabrics = useQuery({
    queryKey: ['fabrics'],
    queryFn: () => answered(api.GET('/api/v1/fabrics')),
  });
  const inForce = versions.data?.items[0];
  return (
    <AdminSheet title={admin.entries['layup-rules'].title} said={said}>
      <p>{admin.rules.says}</p>
      <WentWrong failure={versions.error} retry={() => void versions.refetch()} />
      <WentWrong failure={fabrics.error} retry={() => void fabrics.refetch()} />
      {inForce === undefined || fabrics.data === undefined ? (
        <Loading />
      ) : (
        <RulesForm inForce={inForce} fabrics={fabrics.data.items} onSaid={setSaid} />
      )}
      {versions.data !== undefined && <Versions of={versions.data.items} changes={rulesChanges} />}
    </AdminSheet>
  );
}
