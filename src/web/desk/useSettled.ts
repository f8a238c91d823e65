import { useEffect, useState } from 'preact/hooks';

/** A value that is being typed, once the typing paused: what is asked with each key would be too much. */
export function useSettled<V>(typed: V, pauseMs = 180): V {
  const [settled, setSettled] = useState(typed);
  useEffect(() => {
    const timer = setTimeout(() => setSettled(typed), pauseMs);
    return () => clearTimeout(timer);
  }, [typed, pauseMs]);
  return settled;
}
