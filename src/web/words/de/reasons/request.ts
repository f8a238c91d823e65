import type { REQUEST_REASONS } from '../../../../domain/reasons/request.ts';
import type { ReasonWords } from '../../reasons.ts';
import { satz } from '../satz.ts';

/** Refusals about the request itself, in German. Fields keep the names that they have on the wire. */
export const REQUEST: ReasonWords<typeof REQUEST_REASONS> = {
  'request-invalid': {
    title: 'So kann die Anfrage nicht stimmen',
    words: (f) => `Was nicht passt: ${f.fields.map((each) => satz(each)).join(', ')}.`,
    wayOut: () => 'Berichtigen Sie jedes genannte Feld und senden Sie noch einmal.',
  },
  'field-missing': {
    title: 'Ein Feld fehlt',
    words: (f) => `${satz(f.field)} fehlt.`,
    wayOut: (f) => `Geben Sie ${satz(f.field)} an.`,
  },
  'field-unknown': {
    title: 'Ein Feld ist hier nicht bekannt',
    words: (f) => `${satz(f.field)} ist kein Feld dieser Anfrage.`,
    wayOut: () => 'Prüfen Sie die Schreibweise, oder lassen Sie das Feld weg.',
  },
  'field-wrong-type': {
    title: 'Ein Feld hat die falsche Art',
    words: (f) => `${satz(f.field)} muss von der Art „${satz(f.expected)}“ sein.`,
    wayOut: (f) => `Senden Sie ${satz(f.field)} als „${satz(f.expected)}“.`,
  },
  'field-out-of-range': {
    title: 'Ein Feld liegt außerhalb seiner Grenzen',
    words: (f) => `${satz(f.field)} muss so sein: ${satz(f.limit)}.`,
    wayOut: () => 'Prüfen Sie den Wert und seine Einheit.',
  },
  'field-malformed': {
    title: 'Ein Feld ist nicht so geschrieben, wie es sein soll',
    words: (f) => `${satz(f.field)} ist nicht geschrieben, wie es sein soll: ${satz(f.expected)}.`,
    wayOut: (f) => `Schreiben Sie ${satz(f.field)} so: ${satz(f.expected)}.`,
  },
  'field-not-a-choice': {
    title: 'Ein Feld hat einen Wert außerhalb seiner Liste',
    words: (f) => `${satz(f.field)} muss eines davon sein: ${f.choices.join(', ')}.`,
    wayOut: () => 'Wählen Sie einen der genannten Werte.',
  },
  'body-malformed': {
    title: 'Der Inhalt ist kein JSON, das sich aufbewahren lässt',
    words: () =>
      'Der Inhalt ist kein wohlgeformtes JSON in UTF-8, oder er enthält ein NUL-Zeichen, das keine Aufzeichnung aufbewahren kann.',
    wayOut: () => 'Senden Sie einen JSON-Wert in UTF-8, ohne NUL-Zeichen.',
  },
  'url-malformed': {
    title: 'Die Adresse ist fehlerhaft',
    words: () =>
      'Die Adresse enthält eine beschädigte Prozentkodierung, ein NUL-Zeichen oder einen überlangen Teil.',
    wayOut: () => 'Schreiben Sie die Adresse, wie RFC 3986 es vorsieht.',
  },
  'http-malformed': {
    title: 'Keine Anfrage nach HTTP',
    words: () =>
      'Was ankam, ließ sich nicht als HTTP-Anfrage lesen, oder die Kopfzeilen sind zu groß.',
    wayOut: () =>
      'Senden Sie eine wohlgeformte Anfrage nach HTTP/1.1 mit weniger als 16 KiB Kopfzeilen.',
  },
  'request-timed-out': {
    title: 'Die Anfrage kam zu langsam an',
    words: () => 'Die Anfrage war nicht rechtzeitig vollständig.',
    wayOut: () => 'Senden Sie noch einmal; mit demselben Schlüssel geschieht es nur einmal.',
  },
  'body-too-large': {
    title: 'Der Inhalt ist zu groß',
    words: (f) => `Ein Inhalt darf höchstens ${f.limitBytes} Byte haben.`,
    wayOut: () => 'Senden Sie weniger auf einmal.',
  },
  'media-type-unsupported': {
    title: 'Diese Art Inhalt wird hier nicht gelesen',
    words: () => 'Gelesen wird nur application/json.',
    wayOut: () => 'Senden Sie JSON mit „Content-Type: application/json“.',
  },
  'body-packed': {
    title: 'Der Inhalt ist gepackt',
    words: () => 'Inhalte werden gelesen, wie sie sind; ausgepackt wird keiner.',
    wayOut: () => 'Senden Sie das JSON ohne „Content-Encoding“.',
  },
  'expectation-unknown': {
    title: 'Eine Erwartung, die hier nicht erfüllt wird',
    words: () => 'Die Kopfzeile „Expect“ verlangt etwas anderes als 100-continue.',
    wayOut: () => 'Senden Sie die Anfrage ohne „Expect“.',
  },
  'file-part-unknown': {
    title: 'Die Datei hat diesen Teil nicht',
    words: () => 'Die Kopfzeilen verlangen einen Teil oder Stand der Datei, den sie nicht hat.',
    wayOut: () => 'Verlangen Sie die ganze Datei, ohne „Range“ und „If-Match“.',
  },
  'other-site-refused': {
    title: 'Von einer Seite anderswo gefragt',
    words: () => 'Der Browser sagt, dass eine Seite anderswo diese Anfrage gesendet hat.',
    wayOut: () => 'Öffnen Sie Castbook selbst und tun Sie es dort.',
  },
  'person-asks-too-often': {
    title: 'Zu viele Anfragen einer Person',
    words: (f) =>
      `Unter Ihrem Namen kamen zu viele Anfragen; warten Sie ${satz(String(f.retryAfterS))} s.`,
    wayOut: () =>
      'Warten Sie, solange es die Kopfzeile Retry-After sagt. Haben Sie das nicht alles selbst gefragt, melden Sie sich überall ab, indem Sie Ihr Passwort ändern.',
  },
  'address-unknown': {
    title: 'An dieser Adresse ist nichts',
    words: () => 'Keine Stelle des Dienstes hat diese Adresse.',
    wayOut: () => 'Die vorhandenen Adressen stehen unter /api/docs.',
  },
  'method-not-here': {
    title: 'Die Adresse kennt diese Methode nicht',
    words: (f) => `Diese Adresse kennt ${f.allowed.join(', ')}, nicht ${f.method}.`,
    wayOut: () => 'Nehmen Sie eine Methode der Kopfzeile Allow.',
  },
  'idempotency-key-missing': {
    title: 'Idempotency-Key fehlt oder ist nicht brauchbar',
    words: () => 'Jeder POST braucht einen Idempotency-Key von 8 bis 100 druckbaren ASCII-Zeichen.',
    wayOut: () =>
      'Machen Sie für jede neue Arbeit einen frischen Schlüssel (eine UUID genügt), und senden Sie denselben, wenn Sie dieselbe Anfrage wiederholen.',
  },
  'idempotency-key-reused': {
    title: 'Der Idempotency-Key gehört zu einer anderen Anfrage',
    words: () =>
      'Dieser Schlüssel gehört schon zu einer Anfrage mit anderer Adresse oder anderem Inhalt.',
    wayOut: () => 'Nehmen Sie für eine neue Arbeit einen frischen Schlüssel.',
  },
  'if-match-missing': {
    title: 'If-Match fehlt',
    words: () => 'Eine Änderung muss in If-Match die Fassung nennen, von der sie ausgeht.',
    wayOut: () => 'Lesen Sie den Eintrag, und senden Sie sein ETag als If-Match zurück.',
  },
  'version-is-stale': {
    title: 'Der Eintrag hat sich seit dem Lesen geändert',
    words: (f) => `Die Änderung geht von Fassung ${f.yours} aus; der Eintrag ist bei ${f.current}.`,
    wayOut: () =>
      'Lesen Sie den Eintrag noch einmal, sehen Sie, was sich geändert hat, und ändern Sie von dort aus.',
  },
  'too-many-requests': {
    title: 'Zu viele Anfragen',
    words: (f) => `Von dieser Adresse kamen zu viele Anfragen; warten Sie ${f.retryAfterS} s.`,
    wayOut: () => 'Warten Sie so lange.',
  },
  'service-busy': {
    title: 'Die Datenbank antwortet nicht rechtzeitig',
    words: () =>
      'Die Datenbank ist nicht erreichbar oder hat zu viel zu tun. Nichts wurde geschrieben.',
    wayOut: () => 'Senden Sie gleich noch einmal; mit demselben Schlüssel geschieht es nur einmal.',
  },
  internal: {
    title: 'Ein Fehler des Dienstes',
    words: () => 'Etwas ging schief, und nicht durch Sie. Nichts wurde geschrieben.',
    wayOut: () =>
      'Nennen Sie der Administration die Nummer unter „instance“; das Protokoll nennt die Ursache.',
  },
  'problem-unknown': {
    title: 'Kein solches Problem',
    words: () => 'Der Katalog der Probleme hat diesen Code nicht.',
    wayOut: () => 'Die Liste steht unter /api/problems.',
  },
};
