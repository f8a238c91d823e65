/** What stands in the set-up, in the order of its contents page. Each is an address under /setup. */
export const CONTENTS = [
  { group: 'who', entries: ['people', 'clinic', 'organisation'] },
  { group: 'what', entries: ['parts', 'drafts', 'fabrics', 'resins', 'batches'] },
  { group: 'shop', entries: ['tools', 'bins', 'benches', 'calendar', 'labels'] },
  { group: 'how', entries: ['routes', 'layup-rules'] },
] as const;
