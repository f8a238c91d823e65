/** Where a piece goes: the bench, or a bin that is chosen or whose label is scanned. */
import { useQuery } from '@tanstack/preact-query';
import { useState } from 'preact/hooks';
import { parseScanned } from '../../domain/scannedCode.ts';
import { answered, api } from '../api.ts';
import { TextField } from '../parts/fields.tsx';
import { SelectField } from '../parts/selectField.tsx';
import { words } from '../words/words.ts';

export function BinField({
  value,
  onChoose,
}: {
  /** The bin's id; empty for the bench. */
  readonly value: string;
  readonly onChoose: (placeId: string) => void;
}) {
  const { papers: say } = words.value;
  const [scanned, setScanned] = useState('');
  const { data } = useQuery({
    queryKey: ['places'],
    queryFn: () => answered(api.GET('/api/v1/places')),
  });
  const bins = (data?.items ?? []).filter(({ kind }) => kind === 'bin');
  const scan = (text: string): void => {
    setScanned(text);
    const read = parseScanned(text);
    const id = read.ok && read.value.kind === 'place' ? read.value.placeId : undefined;
    if (bins.some((bin) => bin.id === id)) {
      onChoose(id ?? '');
      setScanned('');
    }
  };
  return (
    <>
      <SelectField
        label={say.whereTo}
        of={[['', say.theBench] as const, ...bins.map(({ id, name }) => [id, name] as const)]}
        value={value}
        onChoose={onChoose}
      />
      <TextField
        label={say.scanBin}
        hint={say.scanBinHint}
        autocomplete="off"
        spellcheck={false}
        value={scanned}
        against={scanned.trim() === '' ? undefined : say.notABin}
        onInput={({ currentTarget }) => scan(currentTarget.value)}
        onKeyDown={(event) => {
          // A scanner ends with Enter: that names the bin and moves nothing yet.
          if (event.key === 'Enter') event.preventDefault();
        }}
      />
    </>
  );
}
