/** A word of help beside what needs it, in German. */
import type { Words } from '../en.ts';

export const help: Words['help'] = {
  about: (what) => `Was gemeint ist: ${what}`,
  checkCharacter:
    'Das letzte Zeichen einer Auftragsnummer ist aus allen anderen berechnet (ISO/IEC 7064, MOD 37,36). Ein vertipptes Zeichen oder zwei vertauschte, und es stimmt nicht mehr: die Nummer wird dann abgelehnt, statt einen fremden Auftrag zu öffnen.',
  functionalLevel:
    'Der Mobilitätsgrad, K0 bis K4: K0 geht nicht, K1 geht auf ebenem Boden in einem Tempo, K2 bewältigt Bordsteine und Treppen, K3 geht in jedem Tempo und mehr als Alltagswege, K4 belastet hoch, etwa beim Sport. Die OT-Meisterin oder der OT-Meister beurteilt ihn; die Armierungsregeln fragen danach.',
  chance:
    'Von hundert Aufträgen wie diesem wären, nach den abgeschlossenen Aufträgen dieser Werkstatt, so viele bis zu diesem Tag fertig. Es ist ein Anteil, keine Zusage; unter zwanzig abgeschlossenen Aufträgen wird keiner genannt.',
  guardBand:
    'Die Vorgabe des Herstellers, an beiden Enden um das verengt, was das Werkzeug abweichen darf. Ein Wert in diesem Bereich weist die Vorgabe auch dann nach, wenn das Werkzeug so weit abweicht, wie seine Klasse erlaubt; ein Wert ganz am Ende der Vorgabe täte das nicht.',
  passes:
    'Jede Schraube wird dreimal in der gezeichneten Reihenfolge angezogen: handfest, halb und voll. So liegen die Teile plan auf, und keine Schraube trägt die Last ihrer Nachbarn.',
  ply: 'Dicke der Stumpfstrümpfe, in Lagen gezählt. Die Werkstatt hat festgelegt, wie viele Milliliter oder welchem Anteil des Volumens eine Lage entspricht: die Zahl ist ein Anfang für die Anprobe, kein Messwert.',
  cap: 'Das gerundete Ende des Stumpfs unter dem untersten Umfang. Die Tiefe wird gemessen oder aus der untersten Höhe genommen; hat niemand gemessen, wird der halbe Radius angenommen, und beim Volumen steht es dabei.',
  clicks:
    'Jeder Klick ist eine Raste des Pins, die die Arretierung gefasst hat. Zählen Sie alle, während der Pin einfährt; dieselbe Arretierung mit demselben Pin muss später wieder so viele ergeben.',
  leastClicks:
    'So wenige Klicks dürfen es sein, damit die Prothese getragen werden darf: der größere Wert aus den Datenblättern von Arretierung und Pin.',
  wall: 'Wie stark das Laminat voraussichtlich wird, gerechnet aus Gewebe, Harz und Faseranteil, als hätte es keine Lufteinschlüsse. Messen Sie die wirkliche Wand; dieser Wert dient der Wahl der Lagen.',
  fibreShare:
    'Gewicht der Faser im Gewicht des Laminats, als Bruchteil von 1. Wird viel Harz abgesaugt, bleibt mehr Faser: steifer und leichter, bis Faser trocken liegt.',
  gate: 'Alles, was stimmen muss, bevor eine Prothese das Haus verlässt: Arbeitsgänge erledigt, Verschraubungen angezogen und seither unberührt, Arretierung geprüft, Befunde erledigt, Aufbau in der Toleranz, Passform angenommen. Es wird bei jeder Frage neu beurteilt; bewegt sich später ein Teil, ist es wieder offen.',
  lotOrBatch:
    'Ein Los gehört zu Stücken, wie der Hersteller es auf das Etikett gedruckt hat; eine Charge ist ein Gebinde, eine Rolle oder eine Flasche Material, die die Werkstatt eingetragen hat.',
};
