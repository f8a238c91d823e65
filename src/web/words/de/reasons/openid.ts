import type { OPENID_REASONS } from '../../../../domain/reasons/openid.ts';
import type { ReasonWords } from '../../reasons.ts';
import { satz } from '../satz.ts';

/** Refusals about signing in by an organisation's account, in German. */
export const OPENID: ReasonWords<typeof OPENID_REASONS> = {
  'openid-not-available': {
    title: 'Hier gibt es keine Anmeldung über eine Organisation',
    words: () => 'Hinter diesem Link meldet sich niemand mit dem Konto einer Organisation an.',
    wayOut: () =>
      'Melden Sie sich mit E-Mail-Adresse und Passwort an, oder fragen Sie die Administration nach dem Link.',
  },
  'openid-issuer-unfit': {
    title: 'Die Adresse des Ausstellers ist unbrauchbar',
    words: (f) => `Diese Adresse kann keinem Aussteller gehören: ${satz(f.why)}.`,
    wayOut: () =>
      'Geben Sie die Adresse so an, wie der Anbieter sie schreibt, mit https und ohne etwas dahinter.',
  },
  'openid-secret-needed': {
    title: 'Das Client-Geheimnis fehlt',
    words: () =>
      'Ein Client-Geheimnis gehört zu einem Aussteller und einem Client; das vorhandene geht an keinen anderen.',
    wayOut: () => 'Geben Sie das Geheimnis an, das der Anbieter für diesen Client erzeugt hat.',
  },
  'openid-provider-unreachable': {
    title: 'Die Anmeldung der Organisation ist nicht erreichbar',
    words: (f) => `Der Anbieter ließ sich nicht fragen: ${satz(f.why)}.`,
    wayOut: () =>
      'Melden Sie sich mit dem Passwort an, oder versuchen Sie es noch einmal; bleibt es so, sagen Sie es der Administration.',
  },
  'openid-answer-refused': {
    title: 'Die Antwort der Organisation gilt nicht',
    words: (f) => `Was vom Anbieter zurückkam, wird nicht angenommen: ${satz(f.why)}.`,
    wayOut: () =>
      'Beginnen Sie die Anmeldung noch einmal; bleibt es so, sagen Sie es der Administration.',
  },
  'openid-attempt-not-valid': {
    title: 'Diese Anmeldung ist vorbei',
    words: () =>
      'Eine Anmeldung über die Organisation gilt einmal, zehn Minuten lang, in dem Browser, der sie begonnen hat.',
    wayOut: () => 'Beginnen Sie die Anmeldung noch einmal.',
  },
  'openid-not-linked': {
    title: 'Dieses Konto gehört hier niemandem',
    words: () =>
      'Keine aktive Person dieser Werkstatt ist mit diesem Konto der Organisation verbunden.',
    wayOut: () =>
      'Melden Sie sich mit dem Passwort an und verbinden Sie das Konto in den Einstellungen, oder bitten Sie die Administration um eine Einladung.',
  },
  'openid-already-linked': {
    title: 'Es ist schon ein Konto verbunden',
    words: () => 'Eine Person hat jeweils ein Konto der Organisation.',
    wayOut: () => 'Lösen Sie zuerst die Verbindung, die es gibt.',
  },
  'openid-account-taken': {
    title: 'Dieses Konto gehört hier jemand anderem',
    words: () => 'Ein Konto der Organisation steht für eine Person der Werkstatt.',
    wayOut: () => 'Melden Sie sich bei der Organisation mit Ihrem eigenen Konto an.',
  },
  'openid-no-link': {
    title: 'Es ist kein Konto verbunden',
    words: () => 'Es gibt kein Konto der Organisation, das zu lösen wäre, und keine Einladung.',
    wayOut: () => 'Es bleibt nichts zu tun.',
  },
  'openid-not-yours': {
    title: 'Das ist nicht Ihr eigenes Konto',
    words: () =>
      'Bei der Organisation hat sich jemand mit einem anderen Konto angemeldet als dem, das mit Ihnen verbunden ist.',
    wayOut: () => 'Melden Sie sich dort mit Ihrem eigenen Konto an.',
  },
  'openid-not-fresh': {
    title: 'Die Organisation hat Sie nicht neu gefragt',
    words: (f) =>
      f.told
        ? 'Zum Unterschreiben müssen Sie sich in eben diesem Augenblick bei der Organisation anmelden; sie hat eine ältere Anmeldung genommen.'
        : 'Zum Unterschreiben müssen Sie sich in eben diesem Augenblick bei der Organisation anmelden; sie sagt nicht, wann das war.',
    wayOut: () => 'Unterschreiben Sie mit dem Passwort.',
  },
  'openid-proof-not-valid': {
    title: 'Das Wort der Organisation gilt nicht mehr',
    words: () =>
      'Eine frische Anmeldung bei der Organisation gilt für eine Unterschrift, drei Minuten lang, in dieser Anmeldung.',
    wayOut: () =>
      'Melden Sie sich noch einmal bei der Organisation an, oder unterschreiben Sie mit dem Passwort.',
  },
};
