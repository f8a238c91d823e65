/** A drawing that the service makes, fetched with the token and shown as an image. */
import { useQuery } from '@tanstack/preact-query';
import { Loading, WentWrong } from './sheet.tsx';
import { Wide } from './wide.tsx';

export function Drawing({
  name,
  words,
  read,
}: {
  /** What it is kept under: another name is another drawing. */
  readonly name: readonly string[];
  /** What it shows, for those who cannot see it. */
  readonly words: string;
  readonly read: () => Promise<string>;
}) {
  const { data, error, refetch } = useQuery({ queryKey: ['drawing', ...name], queryFn: read });
  if (error !== null) return <WentWrong failure={error} retry={() => void refetch()} />;
  if (data === undefined) return <Loading />;
  // The page's policy lets images come from here and from data: addresses, from no blob.
  const source = `data:image/svg+xml,${encodeURIComponent(data)}`;
  return (
    <Wide words={words}>
      <img class="figure" src={source} alt={words} />
    </Wide>
  );
}
