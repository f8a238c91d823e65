/** What does not stand in a patient's whole record, and why. */

/** Tables that are not sections of their own, each with the reason. */
export const NOT_IN_PATIENT_RECORD: Readonly<Record<string, string>> = {
  clinic: 'stands at the head of the document, as far as it concerns the patient',
  person: 'who is who: printed names and roles of those who are named, at the end of the document',
  event: 'every event about the patient, after the sections, with its hashes',
  event_head: 'the last event of the whole clinic; the document names it',
  legal_hold: 'made for a legal proceeding (45 CFR 164.524(a)(1)(ii))',
  custody: 'where a piece is now, which may be with somebody else; its moves in and out stand here',
  access_code: 'secrets of invitations',
  bench: 'how the shop is arranged',
  bench_pin: 'secrets of sign-ins',
  break_glass: 'that fields were opened stands among the looks and, with the reason, in the events',
  break_glass_review: 'how the clinic judged its staff; that it was reviewed stands in the events',
  column_key: 'which keys the database is under; this document is under none',
  fabric: 'each layup holds the fabrics as they were when it was worked out',
  idempotency_key: 'answers that were given already; what they tell of stands in the sections',
  label_sizes: 'how labels are printed',
  layup_rule_set: 'the clinic\u2019s rules; each layup holds what it was worked out from',
  long_work: 'work of the service; that the record was handed out stands in the events',
  long_work_piece: 'results of such work, this document among them',
  merkle_node: 'hashes over the events of the whole clinic',
  number_counter: 'the next number',
  openid_attempt: 'ways to the organisation’s sign-in and back; about no patient',
  openid_link: 'sign-ins of the staff; about no patient',
  openid_provider: 'sign-ins of the staff; about no patient',
  part_draft: 'labels that nobody knew; about no patient',
  recovery_code: 'secrets of sign-ins',
  refresh_token: 'secrets of sign-ins',
  role_grant: 'roles of those who are named stand beside their names',
  route: 'the clinic\u2019s rules; each operation holds what it asks for',
  route_operation: 'the clinic\u2019s rules; each operation holds what it asks for',
  second_factor: 'secrets of sign-ins',
  session: 'sign-ins of the staff; about no patient',
  signed_head: 'signatures over the events of the whole clinic',
  signing_key: 'the clinic\u2019s public keys; the record’s own page tells them',
  work_calendar: 'when the shop is open',
};

/** Columns that are left out of every section, or of one, each with the reason. */
export const WITHHELD_COLUMNS: Readonly<Record<string, string>> = {
  clinic_id: 'one clinic, named at the head',
  'signature.session_id': 'in which sign-in of theirs somebody signed',
  'patient.phone_digests': 'the phone number again, as searches compare it',
  'patient.name_key': 'the name again, as searches compare it',
  'item.price_minor': 'the clinic\u2019s own price',
  'batch.price_minor': 'the clinic\u2019s own price',
};
