/** The browser client: who is signed in, and which page is turned to. */
import { QueryClient, QueryClientProvider } from '@tanstack/preact-query';
import { computed, effect } from '@preact/signals';
import { render } from 'preact';
import { Link, Redirect, Route, Switch, useLocation } from 'wouter-preact';
import { Problem } from './api.ts';
import { FindAnywhere } from './desk/FindAnywhere.tsx';
import { followZone } from './followZone.ts';
import { HeadClock } from './bench/HeadClock.tsx';
import { SETTINGS } from './links.ts';
import { followChanges } from './live.ts';
import { LiveMark } from './LiveMark.tsx';
import { openActs } from './offline/acts.ts';
import { HeadKept } from './offline/HeadKept.tsx';
import { offline } from './offline/reach.ts';
import { leave, start } from './offline/start.ts';
import { HeadMenu, headOpen, ToneButton } from './parts/headMenu.tsx';
import { Loading, Sheet } from './parts/sheet.tsx';
import { PAGES, pagesFor } from './pages.tsx';
import { pinsThatCount, locked } from './session/device.ts';
import { Enrolment } from './session/Enrolment.tsx';
import { lockWhenIdle } from './session/idle.ts';
import { LockPage } from './session/LockPage.tsx';
import { endedByItself, lock, person, reachOfSignIn } from './session/session.ts';
import { RETURN_PATH } from './session/openid.ts';
import { OpenIdReturn } from './session/OpenIdReturn.tsx';
import { SignIn } from './session/SignIn.tsx';
import { asChosenBefore } from './words/choices.ts';
import { saysAnew } from './words/said.ts';
import { units } from './words/units.ts';
import { language, words } from './words/words.ts';
import { clinicZone } from './words/zone.ts';

const queries = new QueryClient({
  defaultOptions: {
    queries: {
      // A refusal stays one however often it is asked again; the network may come back.
      retry: (count, failure) => !(failure instanceof Problem) && !offline.value && count < 3,
      staleTime: 5_000,
      // Whether there is a network, asking shows; without one what is kept is shown at once.
      networkMode: 'always',
    },
  },
});

let of: string | undefined;
effect(() => {
  const id = person.value?.id;
  // What one person read is not another's to see.
  if (id !== undefined && of !== undefined && id !== of) queries.clear();
  of = id ?? of;
});

function Head() {
  const { service, signIn, pages, settings } = words.value;
  const [location, go] = useLocation();
  const here = endedByItself.value || locked.value ? null : person.value;
  const adding = reachOfSignIn.value === 'enrolment';
  return (
    <header class={headOpen.value ? 'head open' : 'head'}>
      <a class="skip" href="#sheet">
        {service.skip}
      </a>
      <strong>{service.name}</strong>
      <nav aria-label={service.menu}>
        {pagesFor(adding ? null : here, reachOfSignIn.value === 'bench').map(
          ({ path, name, seldom }) => (
            <Link
              key={path}
              href={path}
              class={seldom === true ? 'narrow-only' : undefined}
              aria-current={location === path ? 'page' : undefined}
            >
              {pages[name]}
            </Link>
          ),
        )}
      </nav>
      {here != null && reachOfSignIn.value === 'whole' && <FindAnywhere />}
      <HeadClock />
      <HeadKept />
      <LiveMark />
      <HeadMenu />
      <div class="who">
        {here != null && !adding && (
          <>
            {pagesFor(here, reachOfSignIn.value === 'bench').map(
              ({ path, name, seldom }) =>
                seldom === true && (
                  <Link key={path} class="touch wide-only" href={path}>
                    {pages[name]}
                  </Link>
                ),
            )}
            <Link class="touch" href="/password">
              {signIn.ownPassword}
            </Link>
            <Link
              class="touch"
              href={SETTINGS}
              aria-current={location === SETTINGS ? 'page' : undefined}
            >
              {settings.link}
            </Link>
          </>
        )}
        <ToneButton />
        {here != null && pinsThatCount().length > 0 && (
          <button
            onClick={() => {
              headOpen.value = false;
              lock();
            }}
          >
            {words.value.secondFactor.lock.button}
          </button>
        )}
        {here != null && (
          <button
            onClick={() => (openActs.value.length > 0 ? go('/kept?leaving') : void leave(queries))}
          >
            {signIn.out}
          </button>
        )}
      </div>
    </header>
  );
}

function Pages() {
  const [location] = useLocation();
  // Over plain http a browser gives no camera, no locks and no store that outlives a lost network.
  if (!isSecureContext) {
    const { insecure, insecureSays } = words.value.service;
    return (
      <Sheet title={insecure}>
        <p>{insecureSays}</p>
      </Sheet>
    );
  }
  if (person.value === null && locked.value) return <LockPage />;
  if (person.value === undefined) return <Loading />;
  if (location === RETURN_PATH) return <OpenIdReturn />;
  if (person.value === null) return <SignIn />;
  if (reachOfSignIn.value === 'enrolment' && !endedByItself.value && !locked.value) {
    return <Enrolment />;
  }
  return (
    <>
      {locked.value ? <LockPage /> : endedByItself.value && <SignIn />}
      {/* Somebody else who signs in finds a page of their own, with nothing typed. */}
      <div key={person.value.id} hidden={endedByItself.value || locked.value}>
        <Switch>
          {PAGES.map(({ path, component }) => (
            <Route key={path} path={path} component={component} />
          ))}
          {/* A clinic's sign-in link, by somebody who is signed in. */}
          <Route path="/sign-in/:prefix">
            <Redirect to="/" replace />
          </Route>
          <Route>
            <Sheet title={words.value.service.notFound}>
              <Link href="/">{words.value.pages.orders}</Link>
            </Sheet>
          </Route>
        </Switch>
      </div>
    </>
  );
}

const page = document.querySelector('#page');
if (page === null) throw new Error('index.html has no #page');
// What the service has said was put into the language, the units and the zone of then: it is read again.
const shownIn = computed(() => [
  language.value,
  units.value,
  // The service's own words are in the clinic's zone from the first.
  saysAnew.value ? clinicZone.value : null,
]);
shownIn.subscribe(() => void queries.invalidateQueries());
const show = (): void =>
  render(
    <QueryClientProvider client={queries}>
      <Head />
      <Pages />
    </QueryClientProvider>,
    page,
  );
void asChosenBefore().then(show);
followChanges(queries);
followZone(queries);
if (isSecureContext) void start(queries);
lockWhenIdle();
