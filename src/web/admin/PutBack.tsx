/** Lets go of what is typed and not saved: it outlives the page, so there is a way to be rid of it. */
import { words } from '../words/words.ts';

export const PutBack = ({
  when,
  onPutBack,
}: {
  /** Whether anything is typed. */
  readonly when: boolean;
  readonly onPutBack: () => void;
}) =>
  when ? (
    <p>
      <button type="button" onClick={onPutBack}>
        {words.value.admin.putBack}
      </button>
    </p>
  ) : null;
