/** The addresses of the set-up's pages, made from what they are about. */
import { SETUP } from './AdminSheet.tsx';

export const listPage = (entry: string): string => `${SETUP}/${entry}`;
export const newPage = (entry: string): string => `${SETUP}/${entry}/new`;
const oneOf =
  (entry: string) =>
  (id: string): string =>
    `${SETUP}/${entry}/${id}`;
export const personPage = oneOf('people');
export const partPage = oneOf('parts');
export const fabricPage = oneOf('fabrics');
export const resinPage = oneOf('resins');
export const toolPage = oneOf('tools');
export const partOfDraftPage = (draftId: string): string => `${newPage('parts')}?draft=${draftId}`;
export const routePage = (socketKind: string, suspension: string): string =>
  `${SETUP}/routes/${socketKind}/${suspension}`;
