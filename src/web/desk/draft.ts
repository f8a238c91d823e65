/** The order that is about to be opened, as far as it was typed. */
import type { Schemas } from '../api.ts';
import { person } from '../session/session.ts';
import type { Patient } from './patients.ts';

type OrderToOpen = Schemas['OrderToOpenInput'];
export type Offer = Schemas['OfferAtOpening'];

/** Which of the days that are offered; left open: the best one there is. */
export type DayChoice = 'likely' | 'usual' | 'wished' | 'none';

export interface Draft {
  readonly patient?: Patient | undefined;
  readonly side?: OrderToOpen['side'];
  readonly level?: OrderToOpen['level'];
  readonly suspension?: OrderToOpen['suspension'];
  readonly functionalLevel?: OrderToOpen['functionalLevel'];
  readonly prosthetistId: string;
  readonly liner: string;
  readonly note: string;
  readonly day?: DayChoice;
  readonly wishedDay: string;
  readonly anotherIsMeant: boolean;
}

/** A prosthetist who opens an order is probably its prosthetist. */
export const emptyDraft = (): Draft => ({
  prosthetistId: person.value?.roles.includes('prosthetist') === true ? person.value.id : '',
  liner: '',
  note: '',
  wishedDay: '',
  anotherIsMeant: false,
});

export const dayChoice = ({ day }: Draft, offer: Offer | undefined): DayChoice =>
  day === undefined || day === 'likely' ? (offer?.withChance == null ? 'usual' : 'likely') : day;

/** The day that the draft promises; undefined for none. */
export function promisedDay(draft: Draft, offer: Offer | undefined): string | undefined {
  switch (dayChoice(draft, offer)) {
    case 'likely':
      return offer?.withChance?.promisedOn;
    case 'usual':
      return offer?.usual.promisedOn;
    case 'wished':
      return draft.wishedDay === '' ? undefined : draft.wishedDay;
    case 'none':
      return undefined;
  }
}

/**
 * What is sent. What was not chosen is left out: the service says that it is missing.
 * A wished day that was not typed is sent as typed, so that no order is opened without
 * the day that the desk meant to promise.
 */
export function orderToOpen(draft: Draft, offer: Offer | undefined): OrderToOpen {
  const { patient, side, level, suspension, functionalLevel } = draft;
  const { prosthetistId, liner, note } = draft;
  const promisedOn =
    dayChoice(draft, offer) === 'wished' ? draft.wishedDay : promisedDay(draft, offer);
  return {
    ...({ patientId: patient?.id, side, level, suspension, functionalLevel } as Pick<
      OrderToOpen,
      'patientId' | 'side' | 'level' | 'suspension' | 'functionalLevel'
    >),
    ...(promisedOn === undefined ? {} : { promisedOn }),
    ...(promisedOn === undefined || offer === undefined ? {} : { offerSeed: offer.seed }),
    ...(prosthetistId === '' ? {} : { prosthetistId }),
    ...(liner.trim() === '' ? {} : { liner }),
    ...(note.trim() === '' ? {} : { note }),
    anotherOpenOrderIsMeant: draft.anotherIsMeant,
  };
}
