import type { CHANGE_REASONS } from '../../../../domain/reasons/changes.ts';
import type { ReasonWords } from '../../reasons.ts';
import { viele } from '../wort.ts';

/** Refusals about live updates, in German. */
export const CHANGES: ReasonWords<typeof CHANGE_REASONS> = {
  'too-many-live-streams': {
    title: 'Zu viele Seiten zugleich auf dem Laufenden',
    words: (f) =>
      `Sie haben ${viele(f.limit, 'Seite', 'Seiten')} offen, die sich selbst erneuern; mehr geht nicht.`,
    wayOut: () =>
      'Schließen Sie eine davon; die anderen laufen weiter. Sonst laden Sie die Seite von Hand neu.',
  },
};
