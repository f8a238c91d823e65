/** Photos on record, fetched with the token when they are looked at. */
import { useQuery } from '@tanstack/preact-query';
import { useState } from 'preact/hooks';
import { answered, api, type Schemas } from '../api.ts';
import { may } from '../session/session.ts';
import { words } from '../words/words.ts';
import { useInstantWords } from './instants.ts';
import { Loading, WentWrong } from './sheet.tsx';

type Photo = Schemas['Photo'];

/** Whether this person sees photos: they may show a limb. */
const maySee = (): boolean => may('technician', 'prosthetist', 'auditor');

/** The photos of a socket, or of one finding of it; folded, for the shop's network is slow. */
export function Photos({
  socketId,
  findingId,
}: {
  readonly socketId: string;
  readonly findingId?: string;
}) {
  const { pictures: say } = words.value;
  const [opened, setOpened] = useState(false);
  const { data } = useQuery({
    queryKey: ['photos', socketId],
    enabled: maySee(),
    queryFn: () =>
      answered(api.GET('/api/v1/sockets/{socketId}/photos', { params: { path: { socketId } } })),
  });
  const photos = (data?.items ?? []).filter(
    (photo) => findingId === undefined || photo.findingId === findingId,
  );
  if (photos.length === 0) return null;
  return (
    <details class="photos" onToggle={({ currentTarget }) => setOpened(currentTarget.open)}>
      <summary>{say.count(photos.length)}</summary>
      {opened && photos.map((photo) => <Shown key={photo.id} photo={photo} />)}
    </details>
  );
}

function Shown({ photo }: { readonly photo: Photo }) {
  const at = useInstantWords();
  return (
    <figure>
      <PhotoOnRecord id={photo.id} words={photo.of} />
      <figcaption>
        {photo.of} · {at(photo.takenAt)} · {photo.takenBy}
      </figcaption>
    </figure>
  );
}

/** One photo, by its id. */
export function PhotoOnRecord({ id, words: of }: { readonly id: string; readonly words: string }) {
  const { data, error, refetch } = useQuery({
    queryKey: ['photo', id],
    // It never changes.
    staleTime: Infinity,
    queryFn: async () =>
      asSource(
        await answered(
          api.GET('/api/v1/photos/{photoId}', {
            params: { path: { photoId: id } },
            parseAs: 'blob',
          }),
        ),
      ),
  });
  if (error !== null) return <WentWrong failure={error} retry={() => void refetch()} />;
  return data === undefined ? <Loading /> : <img class="photo" src={data} alt={of} />;
}

/** The page's policy lets images come from data: addresses, from no blob. */
const asSource = (file: Blob): Promise<string> =>
  new Promise((resolve, reject) => {
    const reader = new FileReader();
    reader.onload = () => resolve(String(reader.result));
    reader.onerror = () => reject(new Error('unread'));
    reader.readAsDataURL(file);
  });
