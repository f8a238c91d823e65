/** The sign-ins of a person, each to be ended from here. */
import type { Schemas } from '../api.ts';
import { useInstantWords } from '../parts/instants.ts';
import { words } from '../words/words.ts';

export type Session = Schemas['Session'];

export function SessionList({
  sessions,
  onEnd,
}: {
  readonly sessions: readonly Session[];
  readonly onEnd: (id: string) => void;
}) {
  const { sessions: say } = words.value.signIn;
  const instantWords = useInstantWords();
  if (sessions.length === 0) return <p>{say.none}</p>;
  const deviceWords = ({ device }: Session): string =>
    [say.kinds[device.kind], device.names].filter((word) => word !== '').join(', ');
  return (
    <>
      <p class="hint">{say.lastUsedHelp}</p>
      <table class="stacked record-list">
        <thead>
          <tr>
            <th>{say.device}</th>
            <th>{say.began}</th>
            <th>{say.lastUsed}</th>
            <th>{say.how}</th>
            <th>{say.end}</th>
          </tr>
        </thead>
        <tbody>
          {sessions.map((session) => {
            const device = deviceWords(session);
            const began = instantWords(session.beganAt);
            return (
              <tr key={session.id}>
                <td>
                  <strong>{device}</strong>
                </td>
                <td data-label={say.began}>{began}</td>
                <td data-label={say.lastUsed}>{instantWords(session.lastUsedAt)}</td>
                <td data-label={say.how}>{say.ways[session.how]}</td>
                <td>
                  {session.thisOne ? (
                    say.thisOne
                  ) : (
                    <button
                      type="button"
                      aria-label={say.endOf(device, began)}
                      onClick={() => onEnd(session.id)}
                    >
                      {say.end}
                    </button>
                  )}
                </td>
              </tr>
            );
          })}
        </tbody>
      </table>
    </>
  );
}
