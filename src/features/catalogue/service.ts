import { v7 as uuidv7 } from 'uuid';
import { z } from 'zod';
import { clampLoadOf, nutFactorsOf } from '../../domain/clampLoad.ts';
import { questionTorqueSetting } from '../../domain/fasteners.ts';
import { judgeDeviceIdentifier } from '../../domain/deviceIdentifier.ts';
import { judgePartEntry, settingCarriers } from '../../domain/partEntry.ts';
import { reason } from '../../domain/reasons/index.ts';
import { toNewtonMetres } from '../../domain/torqueUnits.ts';
import { pageFrom, readCursor, type Page } from '../../http/paging.ts';
import type { Act } from '../../store/act.ts';
import { holdPart, listParts, loadPart } from '../../store/catalogue.ts';
import { resolveByPart } from '../../store/partDrafts.ts';
import { orRefuse, Refused, refuseIfAny } from '../../store/refused.ts';
import { changesOf, refuseStale } from '../../store/versions.ts';
import { deviceTaken } from './enter.ts';
import type {
  PartChange,
  PartQuery,
  PartView,
  TorqueSettingAdded,
  TorqueSettingToAdd,
} from './schemas.ts';
import { partView } from './view.ts';

export const readPart = async (act: Act, partId: string): Promise<PartView> =>
  partView(await loadPart(act, partId));

export async function findParts(act: Act, query: PartQuery): Promise<Page<PartView>> {
  const rows = await listParts(act, {
    kind: query.kind ?? null,
    active: query.active === undefined ? null : query.active === 'true',
    afterNumber: readCursor(z.string(), query.after) ?? null,
    take: query.limit + 1,
  });
  return pageFrom(rows, query.limit, (row) => row.catalogueNumber, partView);
}

/** Changes a part's entry, from the version that was read; its kind and number stay. */
export async function changePart(
  act: Act,
  partId: string,
  change: PartChange,
  expectedVersion: number,
): Promise<PartView> {
  const before = await loadPart(act, partId);
  if (before.version !== expectedVersion) refuseStale(expectedVersion, before.version);
  const changes = changesOf(before, change);
  if (!changes.any) return partView(before);
  const after = { ...before, ...changes.set };
  // Entries from before issuers were asked for have an identifier alone; they can be changed otherwise.
  const ofDevice = 'udiIssuer' in changes.set || 'udiDeviceIdentifier' in changes.set;
  refuseIfAny([...judgePartEntry(after), ...(ofDevice ? judgeDeviceIdentifier(after) : [])]);
  const { count } = await act.tx.part
    .updateMany({
      where: { clinicId: act.clinicId, id: partId, version: expectedVersion },
      data: { ...changes.set, version: { increment: 1 } },
    })
    .catch((failure: unknown) => {
      throw deviceTaken(failure, after) ?? failure;
    });
  if (count === 0) refuseStale(expectedVersion, (await loadPart(act, partId)).version);
  act.record({
    kind: 'part.changed',
    subjectKind: 'part',
    subjectId: partId,
    data: changes.event,
  });
  if (ofDevice) await resolveByPart(act, after, partId);
  return readPart(act, partId);
}

/**
 * Enters the maker's setting for a joint; the one in force before is superseded
 * and kept. @throws Refused 'setting-not-for-this-part', 'torque-setting-upside-down',
 * 'torque-setting-implausible' (R5).
 */
export async function addTorqueSetting(
  act: Act,
  partId: string,
  input: TorqueSettingToAdd,
): Promise<TorqueSettingAdded> {
  const { tx, clinicId } = act;
  const { torqueMin, torqueMax, unit, ...rest } = input;
  const part = await holdPart(act, partId);
  const carriers = settingCarriers(input.jointKind);
  if (!carriers.includes(part.kind)) {
    const facts = { joint: input.jointKind, kind: part.kind, carriers };
    throw new Refused([reason('setting-not-for-this-part', facts, '/jointKind')]);
  }
  const torqueMinNm = toNewtonMetres(torqueMin, unit);
  const torqueMaxNm = toNewtonMetres(torqueMax, unit);
  orRefuse(
    questionTorqueSetting({
      torqueMinNm,
      torqueMaxNm,
      size: input.fastenerSize,
      propertyClass: input.propertyClass,
      typedIn: unit,
      nutFactor: nutFactorsOf(input),
    }),
  );
  const inForce = part.settings.find(
    (each) => each.jointKind === input.jointKind && each.supersededAt === null,
  );
  if (inForce !== undefined) {
    await tx.torqueSetting.update({
      where: { clinicId_id: { clinicId, id: inForce.id } },
      data: { supersededAt: act.at },
    });
  }
  const id = uuidv7();
  await tx.torqueSetting.create({
    data: {
      clinicId,
      id,
      partId,
      ...rest,
      torqueMinNm,
      torqueMaxNm,
      recordedAt: act.at,
      recordedById: act.by.personId,
    },
  });
  act.record({
    kind: 'torque_setting.recorded',
    subjectKind: 'part',
    subjectId: partId,
    data: {
      settingId: id,
      ...rest,
      torqueMinNm,
      torqueMaxNm,
      typed: { torqueMin, torqueMax, unit },
      supersedes: inForce?.id ?? null,
      before:
        inForce === undefined
          ? null
          : {
              torqueMinNm: inForce.torqueMinNm,
              torqueMaxNm: inForce.torqueMaxNm,
              fastenerSize: inForce.fastenerSize,
              propertyClass: inForce.propertyClass,
              document: inForce.document,
              revision: inForce.revision,
            },
    },
  });
  return {
    part: await readPart(act, partId),
    ...clampLoadOf({ ...rest, torqueMinNm, torqueMaxNm }),
  };
}
