/** Pictures taken with the phone, seen and taken out again before they are sent. */
import { useId, useState } from 'preact/hooks';
import { PICTURES_MOST } from '../../domain/pictures.ts';
import { words } from '../words/words.ts';
import { More } from './fields.tsx';
import { scaledPicture, sourceOf } from './scaledPicture.ts';

export function PicturesField({
  label,
  pictures,
  against,
  onChange,
}: {
  readonly label: string;
  /** In base64, as they will be sent. */
  readonly pictures: readonly string[];
  readonly against?: string | undefined;
  readonly onChange: (pictures: readonly string[]) => void;
}) {
  const { pictures: say } = words.value;
  const id = useId();
  const [unread, setUnread] = useState<string>();
  const take = async (input: HTMLInputElement): Promise<void> => {
    const files = [...(input.files ?? [])].slice(0, PICTURES_MOST - pictures.length);
    // So that the same picture can be chosen again.
    input.value = '';
    const scaled = await Promise.all(files.map(scaledPicture));
    const good = scaled.filter((each) => each !== undefined);
    setUnread(good.length < files.length ? say.unread : undefined);
    if (good.length > 0) onChange([...pictures, ...good]);
  };
  return (
    <div class="field pictures">
      {pictures.length > 0 && <span class="label">{label}</span>}
      {pictures.length < PICTURES_MOST && (
        <div class="take">
          <label for={id}>{pictures.length === 0 ? label : say.another}</label>
          <input
            id={id}
            type="file"
            accept="image/*"
            capture="environment"
            aria-invalid={(against ?? unread) === undefined ? undefined : 'true'}
            aria-describedby={`${id}-more`}
            onChange={({ currentTarget }) => void take(currentTarget)}
          />
        </div>
      )}
      <More id={id} hint={say.hint(PICTURES_MOST)} against={against ?? unread} />
      {pictures.length > 0 && (
        <ul>
          {pictures.map((base64, at) => (
            <li key={`${String(at)}${base64.slice(-40)}`}>
              <img src={sourceOf(base64)} alt={say.taken(at + 1)} />
              <button
                type="button"
                aria-label={`${say.remove}: ${say.taken(at + 1)}`}
                onClick={() => onChange(pictures.filter((_, each) => each !== at))}
              >
                {say.remove}
              </button>
            </li>
          ))}
        </ul>
      )}
    </div>
  );
}
