import { z } from 'zod';
import { day, instantOut, text, version } from '../../http/fields.ts';

/** Wide on purpose: a minute past the day's end is answered in words by the domain. */
const minute = z.number().min(0).max(10_000);

const calendar = {
  weekdays: z
    .array(z.array(z.strictObject({ fromMinute: minute, toMinute: minute })).max(12))
    .max(14)
    .describe(
      'Opening hours of Monday (first) to Sunday (last), in minutes from midnight of the clinic’s day: 8:00 to 17:00 is 480 to 1020. An empty list: closed.',
    ),
  closedDays: z
    .array(z.strictObject({ on: day(), why: text(200) }))
    .max(3_000)
    .describe(
      'Days on which the clinic is closed all the same: holidays, inventory. Keep those that are past: the working days of finished orders are counted in the calendar in force.',
    ),
};

export const CalendarToWrite = z
  .strictObject({
    basedOnVersion: version().describe(
      'The version in force that was read and changed; refused where another is in force by now.',
    ),
    ...calendar,
  })
  .meta({ id: 'CalendarToWrite' });
export type CalendarToWrite = z.output<typeof CalendarToWrite>;

export const CalendarView = z
  .object({
    ...calendar,
    version: version(),
    createdAt: instantOut(),
    createdBy: z
      .string()
      .nullable()
      .describe('Printed name; null for the calendar that a clinic starts with.'),
  })
  .meta({ id: 'WorkCalendar' });
export type CalendarView = z.input<typeof CalendarView>;

export const CalendarVersions = z
  .object({
    items: z.array(
      CalendarView.extend({
        supersededAt: instantOut().nullable().describe('Null for the one in force.'),
      }).meta({ id: 'WorkCalendarVersion' }),
    ),
  })
  .meta({ id: 'WorkCalendarVersions' });
export type CalendarVersions = z.input<typeof CalendarVersions>;
