/** People and their roles, in German. */
import type { Words } from '../../en.ts';

export const people: Words['admin']['people'] = {
  printedName: 'Gedruckter Name',
  printedNameHelp:
    'Wie er unter Unterschriften und auf Laufzetteln steht (21 CFR 11.50). Frühere Unterschriften behalten den Namen, unter dem sie geleistet wurden.',
  email: 'E-Mail-Adresse',
  emailHelp:
    'Damit meldet sich die Person an. Eine Adresse meldet eine Person an, und sie bleibt, wie sie ist.',
  roles: 'Rollen',
  rolesHelp:
    'Empfang: Patientinnen und Patienten, Aufträge, Termine. Techniker/in: die Arbeit an der Werkbank. OT-Meister/in: Abdrücke, Anproben, Lagenaufbau, Freigabe; unterschreibt. Auditor/in: liest und verfolgt zurück, ändert nichts. Administration: diese Einrichtung. Jemand darf mehrere haben und sieht, was sie brauchen, und nicht mehr.',
  works: 'Arbeitet hier',
  active: 'ja',
  left: 'nicht mehr',
  noRole: 'keine: kann sich anmelden und nichts tun',
  activeTick: 'Arbeitet hier und darf sich anmelden',
  activeHelp:
    'Nehmen Sie den Haken weg, wenn jemand geht: sie oder er wird sofort überall abgemeldet. Was getan und unterschrieben wurde, bleibt unter dem Namen.',
  takeOn: 'Jemanden aufnehmen',
  takeOnHelp:
    'Die Anmeldung mit der Adresse und dem ersten Passwort geht sofort. Niemand wird je gelöscht: wer geht, wird auf der eigenen Seite so eingetragen.',
  takenOn: (name, roles) => `${name} kann sich jetzt anmelden. Rollen: ${roles}.`,
  initialPassword: 'Erstes Passwort',
  initialPasswordHelp:
    'Übergeben Sie es persönlich. Ein Passwort ist schwer zu erraten, wenn es lang ist; keine Regeln über Ziffern oder Großbuchstaben (NIST SP 800-63B-4, aus dem Gedächtnis).',
  passwordRule: '15 bis 200 Zeichen: ein Satz oder mehrere Wörter. Alle Zeichen sind erlaubt.',
  yourself:
    'Das sind Sie. Ihre eigene Rolle in der Administration und Ihren eigenen Zugang nimmt Ihnen jemand anderes aus der Administration.',
  setPassword: 'Neues Passwort setzen',
  setPasswordHelp:
    'Für jemanden, der das eigene vergessen hat oder nach falschen gesperrt ist. Es hebt die Sperre auf und meldet überall ab. Aufgezeichnet wird, dass Sie es getan haben, nicht das Passwort.',
  newPassword: 'Neues Passwort',
  passwordSet: (name) => `${name} meldet sich von jetzt an mit dem neuen Passwort an.`,
};
