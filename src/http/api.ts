/** How a feature says its routes: the types of `Api`, which route.ts makes. */
import type { Readable } from 'node:stream';
import type { z } from 'zod';
import type { ShownToken, SignedIn } from '../access/tokens.ts';
import type { Signer } from '../access/signatures.ts';
import type { Act } from '../store/act.ts';
import type { Store } from '../store/open.ts';
import type { Tag } from './openapi.ts';

export type Schema = z.ZodType;
/** What a schema gives; nothing where there is none. */
type Out<S> = S extends Schema ? z.output<S> : undefined;
/** What an answer is made from; the schema then is the last filter of what leaves. */
// eslint-disable-next-line @typescript-eslint/no-invalid-void-type -- becomes Promise<void>: work that answers nothing
export type Answer<S> = S extends Schema ? ReadOnly<z.input<S>> : void;
/** What is answered is never changed on the way, so lists of the store may be handed on as they are. */
type ReadOnly<T> = T extends Date
  ? T
  : T extends readonly (infer Item)[]
    ? readonly ReadOnly<Item>[]
    : T extends object
      ? { readonly [Key in keyof T]: ReadOnly<T[Key]> }
      : T;

export interface Named {
  /** `operationId`: what the route does, in camel case. */
  readonly name: string;
  readonly tag: Tag;
  readonly summary: string;
  readonly description?: string;
}

export interface Inputs<P, Q> {
  readonly params: Out<P>;
  readonly query: Out<Q>;
  readonly caller: SignedIn;
}

/** Signed for sure where the body must carry a signature, perhaps where it may. */
type SignerOf<Body> = Body extends { signature: { contentSha256: string } }
  ? Signer
  : Signer | undefined;

export interface WriteInput<M, P, Q, B, R> extends Inputs<P, Q> {
  readonly body: Out<B>;
  /** What `prepare` gave. */
  readonly prepared: R;
  readonly signer: SignerOf<Out<B>>;
  /** The version named by If-Match, on PATCH. */
  readonly expectedVersion: M extends 'PATCH' ? number : undefined;
}

export interface PrepareInput<P, Q, B> extends Inputs<P, Q> {
  readonly body: Out<B>;
  readonly store: Store;
  readonly at: Date;
}

export interface WriteRoute<M, P, Q, B, A, R> extends Named {
  readonly method: M;
  readonly url: `/api/v1/${string}`;
  readonly params?: P;
  readonly query?: Q;
  readonly body?: B;
  /** Left out: 204. */
  readonly answer?: A;
  /** Left out: 201 for POST, 200 for PATCH. */
  readonly status?: 200 | 201 | 202;
  /** The answer carries `version`, which becomes its ETag. */
  readonly versioned?: true;
  /** The answer is a secret: it is not kept with the key, and a repeat is refused ('shown-once'). */
  readonly answerOnce?: true;
  /**
   * The body has `signature: signatureGiven`: the password is checked before the transaction.
   * Its sister `…/to-sign` says what would be signed.
   */
  readonly reauthenticates?: true;
  /**
   * Fields of the answer that are told once and kept nowhere: whoever sends the request again
   * under its key is answered null there.
   */
  readonly shownOnce?: readonly string[];
  /** Where the body carries more than text: the most bytes of it. Left out: as everywhere. */
  readonly bodyLimitBytes?: number;
  /** What must not happen inside a transaction: hashing, drawing. May refuse. */
  readonly prepare?: (input: PrepareInput<P, Q, B>) => Promise<R>;
}

export interface ReadRoute<P, Q, A, B = undefined> extends Named {
  readonly url: `/api/v1/${string}`;
  readonly params?: P;
  readonly query?: Q;
  /** What is asked, where it must not stand in an address (names, phone numbers): makes it a POST, without a key. */
  readonly body?: B;
  readonly answer: A;
  readonly versioned?: true;
  /** A GET that something may stand in the way of, for the description. */
  readonly alsoRefuses?: readonly 409[];
}

export interface DocumentRoute<P, Q> extends Named {
  readonly url: `/api/v1/${string}`;
  readonly params?: P;
  readonly query?: Q;
  /** As of a read. */
  readonly alsoRefuses?: readonly 409[];
  /** Of several, each document says which one it is. */
  readonly contentType:
    | 'application/pdf'
    | 'text/csv; charset=utf-8'
    | 'application/json'
    | 'image/svg+xml; charset=utf-8'
    | readonly `image/${string}`[];
}

export interface Document {
  readonly bytes: Uint8Array | string;
  /** One of the route's, where it has several. */
  readonly contentType?: string;
  /** ASCII letters, digits, dot, dash and underscore. */
  readonly fileName: string;
}

/** Bytes as they become ready: of what has no end yet, or is too long to be held. */
export interface StreamRoute<P, Q> extends Named {
  readonly url: `/api/v1/${string}`;
  readonly params?: P;
  readonly query?: Q;
  readonly contentTypes: readonly string[];
}

export interface StreamInput<P, Q> extends Inputs<P, Q> {
  readonly caller: ShownToken;
  /** Of a reader who comes back (HTML, server-sent events). */
  readonly lastEventId: string | undefined;
  readonly at: Date;
}

export interface Streamed {
  readonly contentType: string;
  /** Left out where it is not to be saved. ASCII letters, digits, dot, dash and underscore. */
  readonly fileName?: string;
  /** Destroyed where the reader goes away. */
  readonly body: Readable;
}

export interface OpenRoute<M, P, Q, B, A> extends Named {
  readonly method: M;
  readonly url: string;
  readonly params?: P;
  readonly query?: Q;
  readonly body?: B;
  readonly answer: A;
  readonly status?: 200 | 201;
  /** Counted against the stricter limit of sign-ins. */
  readonly limit?: 'sign-in';
  /** Refusals besides those of every open route, for the description. */
  readonly alsoRefuses?: readonly (404 | 409)[];
  /** The answer as a page for people, where the caller prefers HTML. */
  readonly page?: (answer: z.input<A & Schema>) => string;
}

export interface OpenInput<P, Q, B> {
  readonly params: Out<P>;
  readonly query: Out<Q>;
  readonly body: Out<B>;
  /** As the header says; it is not to be believed. */
  readonly userAgent: string | undefined;
  readonly at: Date;
}

type Optional = Schema | undefined;

export interface Api {
  readonly store: Store;
  /** One transaction that changes something: POST with its key (R13), PATCH with its version. */
  write<
    M extends 'POST' | 'PATCH',
    P extends Optional = undefined,
    Q extends Optional = undefined,
    B extends Optional = undefined,
    A extends Optional = undefined,
    R = undefined,
  >(
    route: WriteRoute<M, P, Q, B, A, R>,
    work: (act: Act, input: WriteInput<M, P, Q, B, R>) => Promise<Answer<A>>,
  ): void;
  /** One transaction that reads. */
  read<
    A extends Schema,
    P extends Optional = undefined,
    Q extends Optional = undefined,
    B extends Optional = undefined,
  >(
    route: ReadRoute<P, Q, A, B>,
    work: (act: Act, input: Inputs<P, Q> & { readonly body: Out<B> }) => Promise<Answer<A>>,
  ): void;
  /** Loads a record in one transaction; after it, makes the document. */
  document<R, P extends Optional = undefined, Q extends Optional = undefined>(
    route: DocumentRoute<P, Q>,
    load: (act: Act, input: Inputs<P, Q>) => Promise<R>,
    draw: (record: R, input: Inputs<P, Q>) => Promise<Document> | Document,
  ): void;
  /** Opens what is then read as it comes; outside any transaction. May refuse until it is open. */
  stream<P extends Optional = undefined, Q extends Optional = undefined>(
    route: StreamRoute<P, Q>,
    open: (input: StreamInput<P, Q>) => Promise<Streamed>,
  ): void;
  /** Without a caller and without a transaction; the table must say PUBLIC. */
  open<
    M extends 'GET' | 'POST',
    A extends Schema,
    P extends Optional = undefined,
    Q extends Optional = undefined,
    B extends Optional = undefined,
  >(
    route: OpenRoute<M, P, Q, B, A>,
    work: (input: OpenInput<P, Q, B>) => Promise<Answer<A>> | Answer<A>,
  ): void;
}
