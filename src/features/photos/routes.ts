import { PICTURE_MEDIA_TYPES } from '../../domain/pictures.ts';
import type { Api } from '../../http/api.ts';
import { PhotoList, PhotoParams, SocketParams } from './schemas.ts';
import { photosOfSocket, readPhoto } from './service.ts';

const tag = 'Findings';

/** Pictures, read back. They are written by the acts that they belong to. */
export function photoRoutes(api: Api): void {
  api.read(
    {
      url: '/api/v1/sockets/:socketId/photos',
      name: 'listPhotos',
      tag,
      summary: 'The photos of a socket: of its findings, and those that operations asked for',
      params: SocketParams,
      answer: PhotoList,
    },
    (act, { params }) => photosOfSocket(act, params.socketId),
  );
  api.document(
    {
      url: '/api/v1/photos/:photoId',
      name: 'readPhoto',
      tag,
      summary: 'A photo, byte for byte as it was kept',
      params: PhotoParams,
      contentType: PICTURE_MEDIA_TYPES,
    },
    (act, { params }) => readPhoto(act, params.photoId),
    ({ bytes, mediaType }, { params }) => ({
      bytes,
      contentType: mediaType,
      fileName: `photo-${params.photoId}.${EXTENSIONS[mediaType] ?? 'bin'}`,
    }),
  );
}

const EXTENSIONS: Readonly<Record<string, string>> = {
  'image/jpeg': 'jpg',
  'image/png': 'png',
  'image/webp': 'webp',
};
