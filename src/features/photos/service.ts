/** Pictures: judged by their content before anything is written, and read back. */
import type { z } from 'zod';
import type { Answers } from '../../domain/operations.ts';
import { judgePicture } from '../../domain/pictures.ts';
import { reason, type Reason } from '../../domain/reasons/index.ts';
import type { Act } from '../../store/act.ts';
import {
  listPhotos,
  loadPhoto,
  withIds,
  writePhotos,
  type JudgedPicture,
  type KeptPhoto,
} from '../../store/photos.ts';
import { found, refuseIfAny } from '../../store/refused.ts';
import { loadSocket } from '../../store/sockets.ts';
import type { PhotoList, PictureGiven } from './schemas.ts';

export type NewPhoto = JudgedPicture & KeptPhoto;

/** Judges pictures, all of them at once. */
function judged(
  pictures: readonly PictureGiven[],
  pointer: string,
): { readonly pictures: readonly NewPhoto[]; readonly against: readonly Reason[] } {
  const good: JudgedPicture[] = [];
  const against: Reason[] = [];
  for (const [at, { base64 }] of pictures.entries()) {
    const bytes = Uint8Array.from(Buffer.from(base64, 'base64'));
    const verdict = judgePicture(bytes, `${pointer}/${at}/base64`);
    if (verdict.ok) good.push({ ...verdict.value, bytes });
    else against.push(...verdict.reasons);
  }
  return { pictures: withIds(good), against };
}

/** @param pointer where the list stands in the body. @throws Refused 'picture-…' */
export function picturesToKeep(
  pictures: readonly PictureGiven[],
  pointer: string,
): readonly NewPhoto[] {
  const made = judged(pictures, pointer);
  refuseIfAny([...made.against]);
  return made.pictures;
}

/** An answer as it was sent: pictures in place of the ids under which they will be kept. */
export type AnswerSent = Answers[string] | { readonly photos: readonly PictureGiven[] };

/** The answers as the domain judges and the record keeps them, and the pictures by their check. @throws Refused 'picture-…' */
export function withPictureIds(sent: Readonly<Record<string, AnswerSent>>): {
  readonly answers: Answers;
  readonly photos: ReadonlyMap<string, readonly NewPhoto[]>;
} {
  const photos = new Map<string, readonly NewPhoto[]>();
  const against: Reason[] = [];
  const answers = Object.entries(sent).map(([key, answer]): [string, Answers[string]] => {
    if (typeof answer !== 'object' || !('photos' in answer)) return [key, answer];
    const made = judged(answer.photos, `/answers/${key}/photos`);
    against.push(...made.against);
    photos.set(key, made.pictures);
    return [key, { photoIds: made.pictures.map(({ id }) => id) }];
  });
  refuseIfAny(against);
  return { answers: Object.fromEntries(answers), photos };
}

/** What an event holds of pictures; nothing where there are none. */
export const photosInEvent = (
  photos: readonly NewPhoto[],
): { photos?: { id: string; sha256: string }[] } =>
  photos.length === 0 ? {} : { photos: photos.map(({ id, sha256 }) => ({ id, sha256 })) };

/** Keeps the pictures of an attempt, each with the check it answers. */
export async function keepPhotosOfRecord(
  act: Act,
  operationRecordId: string,
  photos: ReadonlyMap<string, readonly NewPhoto[]>,
): Promise<void> {
  for (const [checkKey, of] of photos) await writePhotos(act, { operationRecordId, checkKey }, of);
}

export async function photosOfSocket(
  act: Act,
  socketId: string,
): Promise<z.input<typeof PhotoList>> {
  await loadSocket(act.tx, act.clinicId, socketId);
  return { items: await listPhotos(act, socketId) };
}

/** @throws Refused 'not-found', 'photo-erased' */
export async function readPhoto(act: Act, photoId: string) {
  const { mediaType, bytes } = found(await loadPhoto(act, photoId), () =>
    reason('not-found', { what: 'photo', id: photoId }),
  );
  return { mediaType, bytes: found(bytes, () => reason('photo-erased', {})) };
}
