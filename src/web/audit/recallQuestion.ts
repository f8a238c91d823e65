/** What a recall is asked by: a lot of hardware, of one part where it says so, or a batch. */
export type Question =
  { readonly lot: string; readonly part?: string } | { readonly batch: string };
