import { answered, api, type Schemas } from '../api.ts';
import { once, useReadAgain } from '../parts/act.ts';

type Ask = Schemas['AskLongWorkInput'];

/** Asks for a long work; the list below is read again. @throws Problem where it was refused */
export function useAsk(): (body: Ask, key: string) => Promise<void> {
  const readAgain = useReadAgain();
  return async (body, key) => {
    await answered(api.POST('/api/v1/long-works', { params: { header: once(key) }, body }));
    await readAgain();
  };
}
