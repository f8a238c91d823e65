/** A new part in the catalogue, whichever way it comes: typed, or from the draft of a scanned label. */
import { v7 as uuidv7 } from 'uuid';
import { judgeDeviceIdentifier, type DeviceEntry } from '../../domain/deviceIdentifier.ts';
import { judgePartEntry } from '../../domain/partEntry.ts';
import { reason } from '../../domain/reasons/index.ts';
import type { Act } from '../../store/act.ts';
import { loadPart } from '../../store/catalogue.ts';
import { isUniqueClash } from '../../store/failures.ts';
import { resolveByPart } from '../../store/partDrafts.ts';
import { Refused, refuseIfAny } from '../../store/refused.ts';
import type { PartToAdd, PartView } from './schemas.ts';
import { partView } from './view.ts';

/**
 * Enters a part; a draft that waits for its device is resolved by it.
 * @throws Refused 'rating-missing', 'part-field-misfits', 'catalogue-number-taken',
 *   'udi-half-given', 'udi-element-malformed', 'udi-check-wrong', 'udi-device-taken'.
 */
export async function addPart(act: Act, input: PartToAdd): Promise<PartView> {
  refuseIfAny([...judgePartEntry(input), ...judgeDeviceIdentifier(input)]);
  const id = uuidv7();
  try {
    await act.tx.part.create({
      data: { clinicId: act.clinicId, id, ...input, createdAt: act.at },
    });
  } catch (failure) {
    const taken = deviceTaken(failure, input);
    if (taken !== undefined) throw taken;
    if (!isUniqueClash(failure, 'catalogue_number')) throw failure;
    const { catalogueNumber } = input;
    throw new Refused([reason('catalogue-number-taken', { catalogueNumber }, '/catalogueNumber')], {
      cause: failure,
    });
  }
  act.record({ kind: 'part.added', subjectKind: 'part', subjectId: id, data: { ...input } });
  await resolveByPart(act, input, id);
  return partView(await loadPart(act, id));
}

/** 'udi-device-taken' where the key of one part for one device stood in the way; else undefined. */
export function deviceTaken(failure: unknown, entry: DeviceEntry): Refused | undefined {
  const { udiIssuer: issuer, udiDeviceIdentifier: deviceIdentifier } = entry;
  if (issuer === null || deviceIdentifier === null) return undefined;
  if (!isUniqueClash(failure, 'one_of_a')) return undefined;
  const facts = { issuer, deviceIdentifier };
  return new Refused([reason('udi-device-taken', facts, '/udiDeviceIdentifier')], {
    cause: failure,
  });
}
