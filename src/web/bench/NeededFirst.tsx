/** What the record must show before an operation is done: how it stands, and the way to it. */
import { useQuery } from '@tanstack/preact-query';
import { Link } from 'wouter-preact';
import { OPERATION_KINDS, type FactNeeded, type OperationKind } from '../../domain/operations.ts';
import { words } from '../words/words.ts';
import { place } from './place.ts';
import { readResin, type Operation, type Socket } from './record.ts';

interface Need {
  readonly what: string;
  /** How it stands, in words. */
  readonly stands: string;
  readonly met: boolean;
  /** Where it is done. */
  readonly href: string;
}

export function NeededFirst({
  socket,
  operation,
}: {
  readonly socket: Socket;
  readonly operation: Operation;
}) {
  const { bench: say } = words.value;
  const needs: readonly FactNeeded[] = OPERATION_KINDS[operation.kind as OperationKind].needs;
  const { data: resin } = useQuery({
    queryKey: ['resin', socket.id],
    enabled: needs.includes('resin_weighed'),
    queryFn: () => readResin(socket.id),
  });
  const all = needs.flatMap((need): readonly Need[] => needsOf(need, socket, resin?.lacking));
  if (all.length === 0) return null;
  return (
    <ul class="needed">
      {all.map(({ what, stands, met, href }) => (
        <li key={what} class={met ? '' : 'against'}>
          <span class="label">{what}</span>
          <strong>{stands}</strong>
          <Link class="way" href={href}>
            {met ? say.look : say.wayTo} {what}
          </Link>
        </li>
      ))}
    </ul>
  );
}

function needsOf(
  need: FactNeeded,
  socket: Socket,
  resinLacking: string | null | undefined,
): readonly Need[] {
  const { bench: say } = words.value;
  const { needs: what, stands } = say;
  const dummy = socket.shopTools.find(({ position }) => position === 'dummy');
  switch (need) {
    case 'dummy_in':
    case 'dummy_out':
      return [
        {
          what: what[need],
          stands: dummy === undefined ? stands.noDummy : stands.dummyIn(dummy.name),
          met: (dummy !== undefined) === (need === 'dummy_in'),
          href: place.hardware(socket.id),
        },
      ];
    case 'hardware_in':
      return [
        {
          what: what[need],
          stands: stands.pieces(socket.hardware.length),
          met: socket.hardware.length > 0,
          href: place.hardware(socket.id),
        },
      ];
    case 'joints_confirmed':
      return socket.joints.map(({ kind, confirmed, openBecause }) => ({
        what: `${say.joint} ${say.joints[kind]}`,
        stands: confirmed ? stands.confirmed : `${stands.open}: ${openBecause ?? ''}`,
        met: confirmed,
        href: place.joint(socket.id, kind),
      }));
    case 'lock_checked':
      return [
        {
          what: what[need],
          stands: socket.lockCheckedNow === true ? stands.counts : stands.notYet,
          met: socket.lockCheckedNow === true,
          href: place.lock(socket.id),
        },
      ];
    case 'resin_weighed':
      return resinLacking === undefined
        ? []
        : [
            {
              what: what[need],
              stands: resinLacking ?? stands.weighed,
              met: resinLacking === null,
              href: place.resin(socket.id),
            },
          ];
    case 'layup_approved':
      return [
        {
          what: what[need],
          stands:
            socket.layup === null
              ? stands.noLayup
              : socket.layup.approved
                ? stands.approved(socket.layup.running)
                : stands.notApproved(socket.layup.running),
          met: socket.layup?.approved === true,
          href: place.layup(socket.id),
        },
      ];
    case 'alignment_measured':
      return [
        {
          what: what[need],
          stands: stands.alignment,
          // Whether it is, the service says: the socket alone does not tell.
          met: true,
          href: place.fit(socket.id),
        },
      ];
    // Said by the service when it is asked.
    case 'model_not_needed':
      return [];
  }
}
