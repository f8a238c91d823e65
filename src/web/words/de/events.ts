/** What an event says happened, and what it is about, in German. */
import type { EventKind, SubjectKind } from '../../../domain/eventKinds.ts';

export const EVENTS: Readonly<Record<EventKind, string>> = {
  // Orders
  'order.opened': 'Auftrag eröffnet',
  'order.changed': 'Auftrag geändert',
  'order.put_on_hold': 'zurückgestellt',
  'order.resumed': 'wieder aufgenommen',
  'order.stage_changed': 'Schritt gewechselt',

  // Patients
  'patient.added': 'Patient/in erfasst',
  'patient.changed': 'Angaben zur Person geändert',
  'body_mass.recorded': 'Körpergewicht aufgezeichnet',

  // Limb and casts
  'cast.taken': 'Abdruck genommen',
  'cast.accepted': 'Abdruck angenommen',
  'cast.rejected': 'Abdruck abgelehnt',
  'limb.measured': 'Stumpf gemessen',
  'limb.change_decided': 'entschieden, was die Änderung des Stumpfs bedeutet',

  // Sockets and their operations
  'socket.started': 'Schaft begonnen',
  'socket.accepted': 'Schaft angenommen',
  'socket.rejected': 'Schaft abgelehnt',
  'socket.scrapped': 'Schaft ausgesondert',
  'socket.delivered': 'Schaft abgegeben',
  'socket.retired': 'Schaft außer Gebrauch',
  'operation.done': 'Arbeitsgang erledigt',
  'operation.stopped': 'Arbeitsgang gestoppt',
  'operation.left_out': 'Arbeitsgang ausgelassen',
  'operation.held_up': 'Arbeitsgang durch einen Befund gestoppt',
  'operation.released': 'gestoppter Arbeitsgang freigegeben',
  'socket.cured': 'Laminat ausgehärtet',
  'socket.chamber_inspected': 'Arretierungskammer geprüft',
  'cast.model_broken_out': 'Modell herausgeschlagen',
  'operation.to_do_again': 'Arbeitsgang neu zu machen',

  // Layup and resin
  'layup.drafted': 'Lagenaufbau entworfen',
  'layup.approved': 'Lagenaufbau freigegeben',
  'resin_recipe.made': 'Harzansatz berechnet',
  'cup.weighed': 'Becher Harz eingewogen',
  'cup.stopped': 'Becher Harz gestoppt',

  // Hardware, torque and lock
  'custody.moved': 'bewegt',
  'hardware.transferred': 'Passteile umgebaut',
  'torque.confirmed': 'Verschraubung angezogen und bestätigt',
  'torque.recorded_without_confirming': 'Drehmoment aufgezeichnet, Verschraubung nicht bestätigt',
  'lock.checked': 'Prüfung der Arretierung bestanden',
  'lock.failed_check': 'Prüfung der Arretierung nicht bestanden',

  // Fit, findings, signatures
  'alignment.measured': 'Aufbau gemessen',
  'fit.rejected': 'Passform abgelehnt',
  'finding.opened': 'Befund gemeldet',
  'finding.closed': 'Befund erledigt',
  'record.signed': 'unterschrieben',

  // After delivery
  'service.opened': 'Service begonnen',
  'service.closed': 'Service abgeschlossen',

  // Stock and catalogue
  'stock.received': 'Ware eingegangen',
  'item.changed': 'Eintrag des Stücks geändert',
  'place.made': 'Ort angelegt',
  'part.added': 'Passteil eingetragen',
  'part.changed': 'Eintrag des Passteils geändert',
  'part_draft.made': 'unbekanntes Passteil von seinem Etikett vorgemerkt',
  'part_draft.resolved': 'vorgemerktes Passteil in den Katalog eingetragen',
  'part_draft.set_aside': 'vorgemerktes Passteil verworfen',
  'torque_setting.recorded': 'Drehmomentvorgabe eingetragen',
  'batch.received': 'Charge eingegangen',
  'batch.changed': 'Eintrag der Charge geändert',
  'batch.opened': 'Charge angebrochen',
  'batch.quarantined': 'Charge gesperrt',
  'fabric.added': 'Gewebe eingetragen',
  'fabric.changed': 'Eintrag des Gewebes geändert',
  'resin_product.added': 'Harzsystem eingetragen',
  'resin_product.changed': 'Eintrag des Harzsystems geändert',
  'shop_tool.added': 'Werkzeug eingetragen',
  'shop_tool.calibrated': 'Werkzeug kalibriert',
  'shop_tool.taken_out_of_service': 'Werkzeug außer Gebrauch genommen',
  'shop_tool.put_back_in_service': 'Werkzeug wieder in Gebrauch genommen',

  // The clinic's own rules
  'clinic.changed': 'Einstellungen der Werkstatt geändert',
  'route.written': 'Arbeitsplan geschrieben',
  'layup_rules.written': 'Regeln des Lagenaufbaus geschrieben',
  'calendar.written': 'Arbeitskalender geschrieben',
  'label_sizes.written': 'Etikettengrößen geschrieben',
  'bench.added': 'Arbeitsplatz eingetragen',
  'bench.changed': 'Eintrag des Arbeitsplatzes geändert',

  // Book of fittings
  'appointment.booked': 'Termin vereinbart',
  'appointment.moved': 'Termin verlegt',
  'appointment.called_off': 'Termin abgesagt',
  'appointment.came': 'zum Termin gekommen',
  'appointment.did_not_come': 'nicht zum Termin gekommen',

  // People
  'person.added': 'Person eingetragen',
  'person.changed': 'Eintrag der Person geändert',
  'person.invited': 'eingeladen, mit Einmalcode',
  'person.reset_code_given': 'Passwort beendet, Einmalcode für ein neues ausgegeben',
  'person.code_refused': 'falscher Einmalcode',
  'person.password_set': 'Passwort mit Einmalcode gesetzt',
  'person.session_ended': 'Anmeldung von anderer Stelle beendet',
  'person.password_changed': 'Passwort geändert',
  'person.signed_in': 'angemeldet',
  'person.signed_out': 'abgemeldet',
  'person.sign_in_failed': 'Anmeldung fehlgeschlagen',
  'person.second_factor_added': 'zweiter Faktor hinzugefügt',
  'person.second_factor_removed': 'zweiter Faktor abgeschaltet',
  'person.second_factor_reset': 'zweiter Faktor von der Administration zurückgesetzt',
  'person.recovery_codes_made': 'Wiederherstellungscodes erzeugt',
  'person.recovery_code_used': 'Wiederherstellungscode benutzt',
  'person.pin_set': 'PIN auf einem Werkbankgerät gesetzt',
  'person.pin_ended': 'PIN auf einem Werkbankgerät beendet',
  'person.refresh_token_shown_again':
    'Anmeldung ein zweites Mal erneuert, die Antwort ging verloren',
  'person.refresh_token_reused': 'gestohlene Anmeldung beendet',

  // Long work
  'long_work.asked': 'lange Arbeit in Auftrag gegeben',
  'long_work.cancelled': 'lange Arbeit abgebrochen',
  'long_work.ended': 'lange Arbeit beendet',
  'long_work.read': 'Ergebnis langer Arbeit gelesen',

  // Looking things up, and recalls
  'trace.read': 'Rückverfolgung gelesen',
  'history.read': 'Verlauf gelesen',
  'record.read': 'Aufzeichnung zur Prüfung gelesen',
  'record.verified': 'Aufzeichnung geprüft',
  'recall.read': 'Rückruf abgefragt',
  'recall.called': 'wegen eines Rückrufs angerufen',
  'lot.recalled': 'Los gesperrt',
};

export const SUBJECTS: Readonly<Record<SubjectKind, string>> = {
  order: 'Auftrag',
  patient: 'Patient/in',
  socket: 'Schaft',
  operation: 'Arbeitsgang',
  cast: 'Abdruck',
  measure_set: 'Maße',
  volume_decision: 'Entscheid über das Stumpfvolumen',
  layup: 'Lagenaufbau',
  resin_recipe: 'Harzansatz',
  resin_weighing: 'Becher Harz',
  item: 'Stück',
  shop_tool: 'Werkzeug',
  torque_confirmation: 'Bestätigung des Drehmoments',
  lock_check: 'Prüfung der Arretierung',
  alignment: 'Aufbau',
  fitting: 'Anprobe',
  appointment: 'Termin',
  finding: 'Befund',
  mass_acknowledgement: 'zur Kenntnis genommenes Körpergewicht',
  delivery: 'Abgabe',
  service_visit: 'Service',
  place: 'Ort',
  part: 'Passteil',
  part_draft: 'vorgemerktes Passteil',
  batch: 'Charge',
  fabric: 'Gewebe',
  resin_product: 'Harzsystem',
  clinic: 'Werkstatt',
  route: 'Arbeitsplan',
  layup_rule_set: 'Regeln des Lagenaufbaus',
  calendar: 'Arbeitskalender',
  label_sizes: 'Etikettengrößen',
  bench: 'Arbeitsplatz',
  person: 'Person',
  long_work: 'lange Arbeit',
};
