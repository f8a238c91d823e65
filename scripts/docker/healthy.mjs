// Is the service ready? For HEALTHCHECK: exits with 0 or 1.
const answer = await fetch(`http://127.0.0.1:${process.env.PORT ?? 8080}/readyz`).catch(
  () => undefined,
);
process.exit(answer?.ok === true ? 0 : 1);
