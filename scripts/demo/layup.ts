/** The layup of a definitive socket: drafted as the rules propose, signed before any fabric is cut. */
import { proposeLayup } from '../../src/domain/layup.ts';
import type { LayupLine } from '../../src/domain/layupRules.ts';
import { loadLayupFacts } from '../../src/features/layup/facts.ts';
import { approve, draftLayup } from '../../src/features/layup/service.ts';
import type { Act } from '../../src/store/act.ts';
import { orRefuse } from '../../src/store/refused.ts';
import { loadSocket } from '../../src/store/sockets.ts';
import { atBench, type Limb } from './limb.ts';
import { act, signedAct, type Story } from './timeline.ts';

/** Drafts it at the bench. @returns its id */
export function* layupDrafted(limb: Limb): Story<string> {
  const { bench, diary } = limb;
  return yield* act(diary.minutes(5, 20), atBench(limb), (opened) => draft(opened, bench.socketId));
}

/** The prosthetist signs it. */
export function* layupApproved({ diary, prosthetist }: Limb, layupId: string): Story {
  yield* signedAct(diary.minutes(5, 30), prosthetist, (opened, signer) =>
    approve(opened, layupId, signer),
  );
}

/** As proposed; past the top mass of the rules what they propose up to there, and one layer of braid more. */
async function draft(opened: Act, socketId: string): Promise<string> {
  const socket = await loadSocket(opened.tx, opened.clinicId, socketId);
  const { patient, shape, rules, fabrics } = await loadLayupFacts(opened, socket);
  const bodyMassKg = Math.min(patient.bodyMassKg, rules.topBodyMassKg);
  const { lines } = orRefuse(proposeLayup({ ...patient, bodyMassKg }, shape, rules, fabrics));
  const { id } = await draftLayup(
    opened,
    socketId,
    bodyMassKg === patient.bodyMassKg
      ? { lines: [...lines] }
      : {
          lines: lines.map(oneMoreBraid),
          why: 'Past the body mass of the rules: one layer of braid more than they have for 125 kg.',
        },
  );
  return id;
}

const oneMoreBraid = (line: LayupLine): LayupLine =>
  line.kind === 'fabric' && line.reflected ? { ...line, layers: line.layers + 1 } : line;
