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
    'Sie erhalten einen Einmalcode zum Übergeben, mit dem die Person ein Passwort setzt, das sonst niemand kennt; vorher meldet sich niemand unter ihrem Namen an. Niemand wird je gelöscht: wer geht, wird auf der eigenen Seite so eingetragen.',
  takenOn: (name, roles) => `${name} ist eingetragen. Rollen: ${roles}.`,
  yourself:
    'Das sind Sie. Ihre eigene Rolle in der Administration und Ihren eigenen Zugang nimmt Ihnen jemand anderes aus der Administration.',
  signIn: 'Anmeldung',
  hasPassword: 'hat ein Passwort',
  hasCode: (until) => `noch ohne Passwort; der Einmalcode gilt bis ${until}`,
  hasNeither: 'hat kein Passwort und keinen offenen Code: kann sich nicht anmelden',
  giveCode: 'Einmalcode ausgeben',
  giveCodeHelp:
    'Für jemanden, der das eigene Passwort vergessen hat, nach falschen gesperrt ist, oder dessen Passwort jemand anderes kennen könnte. Das jetzige Passwort und alle Anmeldungen enden sofort. Aufgezeichnet wird, dass Sie es getan haben, nicht der Code.',
  giveCodeSays:
    'Das jetzige Passwort gilt sofort nicht mehr, und die Person wird überall abgemeldet.',
  code: {
    title: (name) => `Einmalcode für ${name}`,
    once: 'Er wird nur dieses eine Mal gezeigt und nirgends aufbewahrt. Übergeben Sie ihn persönlich oder lesen Sie ihn vor; lassen Sie ihn nicht liegen.',
    gone: 'Der Code wurde schon gezeigt, bevor die Antwort verloren ging. Geben Sie auf der Seite der Person einen anderen aus.',
    until: (when) => `Er gilt einmal, bis ${when}, und nicht mehr nach zehn Fehlversuchen.`,
    how: 'Öffnen Sie die Anmeldeseite, wählen Sie „Ich habe einen Code“ und geben Sie die Adresse, den Code und ein neues Passwort ein.',
    copy: 'Kopieren',
    copied: 'Kopiert.',
    notCopied: 'Er ließ sich nicht kopieren: schreiben Sie ihn ab.',
    print: 'Drucken',
    done: 'Er ist übergeben',
  },
  signedIn: 'Wo angemeldet',
  endAll: 'Überall abmelden',
  allEnded: (name) => `${name} ist überall abgemeldet.`,
};
