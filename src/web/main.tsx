/** The browser client: who is signed in, and which page is turned to. */
import { QueryClient, QueryClientProvider } from '@tanstack/preact-query';
import { render } from 'preact';
import { Link, Route, Switch, useLocation } from 'wouter-preact';
import { Problem } from './api.ts';
import { HeadClock } from './bench/HeadClock.tsx';
import { Loading, Sheet } from './parts/sheet.tsx';
import { PAGES, pagesFor } from './pages.tsx';
import { person, refresh, signOut } from './session/session.ts';
import { SignIn } from './session/SignIn.tsx';
import { words } from './words/words.ts';

const queries = new QueryClient({
  defaultOptions: {
    queries: {
      // A refusal stays one however often it is asked again; the network may come back.
      retry: (count, failure) => !(failure instanceof Problem) && count < 3,
      staleTime: 5_000,
    },
  },
});

function Head() {
  const { service, signIn, pages } = words.value;
  const [location] = useLocation();
  return (
    <header class="head">
      <a class="skip" href="#sheet">
        {service.name}
      </a>
      <strong>{service.name}</strong>
      <nav>
        {pagesFor(person.value).map(({ path, name }) => (
          <Link key={path} href={path} aria-current={location === path ? 'page' : undefined}>
            {pages[name]}
          </Link>
        ))}
      </nav>
      <HeadClock />
      {person.value != null && (
        <div class="who">
          <Link class="touch" href="/password">
            {person.value.printedName}
          </Link>
          <button onClick={() => void signOut().then(() => queries.clear())}>{signIn.out}</button>
        </div>
      )}
    </header>
  );
}

function Pages() {
  if (person.value === undefined) return <Loading />;
  if (person.value === null) return <SignIn />;
  return (
    <Switch>
      {PAGES.map(({ path, component }) => (
        <Route key={path} path={path} component={component} />
      ))}
      <Route>
        <Sheet title={words.value.service.notFound}>
          <Link href="/">{words.value.pages.orders}</Link>
        </Sheet>
      </Route>
    </Switch>
  );
}

const page = document.querySelector('#page');
if (page === null) throw new Error('index.html has no #page');
render(
  <QueryClientProvider client={queries}>
    <Head />
    <Pages />
  </QueryClientProvider>,
  page,
);
void refresh().catch(() => {
  person.value = null;
});
