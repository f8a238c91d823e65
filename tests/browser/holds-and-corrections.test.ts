/** Legal holds where an order and a lot are read, and corrections beside what they correct, on the screen. */
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { Role } from '../../src/domain/words.ts';
import { PASSWORD, testClinic, type TestClinic } from '../support/api.ts';
import {
  launch,
  lookAt,
  lookAtOnPhone,
  noBrowser,
  openPage,
  signInAs,
  type Watched,
} from '../support/browser.ts';
import { deliveredLimb, ok, stockedShop, type MadeLimb } from '../support/job.ts';

describe.skipIf(noBrowser !== undefined)(
  `in Chromium${noBrowser === undefined ? '' : ` (skipped: ${noBrowser})`}`,
  () => {
    let browser: Browser;
    let clinic: TestClinic;
    let limb: MadeLimb;
    /** Of a piece that the patient wears. */
    let worn: { partId: string; part: string; lot: string };
    let deliverySignature: string;
    const opened = new Map<Role, Watched>();

    beforeAll(async () => {
      browser = await launch();
      clinic = await testClinic();
      const shop = await stockedShop(clinic);
      limb = await deliveredLimb(shop);
      const one = async <Row extends object>(sql: string): Promise<Row> => {
        const [row] = await clinic.store.raw<Row>(sql, [limb.socketId]);
        if (row === undefined) throw new Error(sql);
        return row;
      };
      worn = await one(
        `select pt.id as "partId", pt.name as part, i.lot from place p join custody c on c.place_id = p.id
           join item i on i.id = c.item_id join part pt on pt.id = i.part_id
         where p.socket_id = $1 and i.lot is not null order by i.id limit 1`,
      );
      ({ id: deliverySignature } = await one<{ id: string }>(
        'select signature_id as id from delivery where socket_id = $1',
      ));
      clinic.clock.pass(1);
      const records = await one<Record<string, string>>(
        `select (select id from lock_check where socket_id = $1 limit 1) as lock_check,
           (select id from delivery where socket_id = $1) as delivery,
           (select id from resin_weighing where socket_id = $1 limit 1) as resin_weighing`,
      );
      for (const [subjectKind, subjectId] of Object.entries(records)) {
        await ok(
          clinic.as('prosthetist').post(`/api/v1/patients/${limb.patientId}/corrections`, {
            subjectKind,
            subjectId,
            wrong: `lot ${worn.lot} was noted`,
            right: `the ${subjectKind.replace('_', ' ')} was of another day`,
            why: 'The note was taken from the wrong sheet.',
            signature: { password: PASSWORD },
          }),
        );
      }
    }, 300_000);
    afterAll(async () => {
      for (const { page } of opened.values()) await page.context().close();
      await clinic.close();
      await browser.close();
    });

    const as = async (role: Role): Promise<Watched> => {
      const known = opened.get(role);
      if (known !== undefined) return known;
      const watched = await openPage(browser, clinic, 'desk');
      await signInAs(watched.page, clinic.people[role]);
      opened.set(role, watched);
      return watched;
    };
    const on = async (role: Role, address: string): Promise<Watched> => {
      const watched = await as(role);
      await watched.page.goto(address);
      await watched.settled();
      return watched;
    };
    const holdsOn = (page: Page) =>
      page.locator('section', { has: page.getByRole('heading', { name: /^Legal holds/ }) });
    const order = () => `/orders/${limb.orderId}`;
    const recallOfLot = () => `/recall?of=lot&key=${worn.lot}&part=${worn.partId}`;

    test('an order is held from its own page, the bench is told, and it is lifted there with the reason', async () => {
      const { page, settled, complaints } = await on('administrator', order());
      const holds = holdsOn(page);
      await holds.getByText('No legal hold is in force.').waitFor();
      await holds.locator('summary', { hasText: 'Place a legal hold on this order' }).click();
      const place = holds.getByRole('button', { name: 'Place a legal hold on this order' });
      // What is missing stands beside its field.
      await place.click();
      await holds.locator('[aria-invalid=true]').first().waitFor();
      await holds.getByLabel('Reference').fill('Cg 4/26');
      await holds.getByLabel('Reason').fill('A claim about the socket.');
      await lookAt(page, 'hold-order-form');
      await place.click();
      await holds.getByText('Cg 4/26').waitFor();
      await settled();
      await lookAt(page, 'hold-order');
      await lookAtOnPhone(page, 'hold-order-phone');

      const bench = await on('technician', order());
      await bench.page.getByText('On legal hold: nothing of it is erased.').waitFor();
      expect(await bench.page.getByText('A claim about the socket.').count()).toBe(0);
      const auditor = await on('auditor', order());
      await auditor.page.getByText('A claim about the socket.').waitFor();
      expect(await auditor.page.getByText('Lift this hold').count()).toBe(0);

      await holds.locator('summary', { hasText: 'Lift this hold' }).click();
      await holds.getByLabel('Why it is lifted').fill('Settled out of court.');
      await holds.getByRole('button', { name: 'Lift this hold' }).click();
      await holds.getByText('No legal hold is in force.').waitFor();
      const [row] = await clinic.store.raw<{ lift_reason: string }>(
        `select lift_reason from legal_hold where reference = 'Cg 4/26'`,
      );
      expect(row?.lift_reason).toBe('Settled out of court.');
      await bench.settled();
      await bench.page.reload();
      await bench.settled();
      expect(await bench.page.getByText('On legal hold').count()).toBe(0);
      expect(complaints).toEqual([]);
    });

    test('a lot is held from its recall, which shows it to whoever runs one, and on the part’s page', async () => {
      const { page, settled, complaints } = await on('administrator', recallOfLot());
      const holds = holdsOn(page);
      await holds.locator('summary', { hasText: 'Place a legal hold on a lot' }).click();
      await holds.getByLabel('Reference').fill('Maker 12');
      await holds.getByLabel('Reason').fill('The maker looks into a crack.');
      await holds.getByRole('button', { name: 'Place a legal hold on a lot' }).click();
      await holds.getByText('Maker 12').waitFor();
      await settled();
      await lookAt(page, 'hold-recall');
      await lookAtOnPhone(page, 'hold-recall-phone');
      const desk = await on('front_desk', recallOfLot());
      await holdsOn(desk.page).getByText('The maker looks into a crack.').waitFor();
      // It holds whoever wears a piece of it, and their order says so.
      await desk.page.goto(order());
      await holdsOn(desk.page).getByText('Maker 12').waitFor();

      await page.goto(`/setup/parts/${worn.partId}`);
      const onPart = holdsOn(page);
      await onPart.getByText('Maker 12').waitFor();
      await onPart.locator('summary', { hasText: 'Place a legal hold on a lot' }).click();
      await onPart.getByLabel('Lot', { exact: true }).fill('NO-SUCH');
      await onPart.getByLabel('Reference').fill('Maker 13');
      await onPart.getByLabel('Reason').fill('Another.');
      await onPart.getByRole('button', { name: 'Place a legal hold on a lot' }).click();
      await onPart.locator('[aria-invalid=true]').first().waitFor();
      await settled();
      await lookAt(page, 'hold-part');
      await lookAtOnPhone(page, 'hold-part-phone');
      await onPart.locator('summary', { hasText: 'Lift this hold' }).click();
      await onPart.getByLabel('Why it is lifted').fill('No crack was found.');
      await onPart.getByRole('button', { name: 'Lift this hold' }).click();
      await onPart.getByText('No legal hold is in force.').waitFor();
      expect(complaints).toEqual([]);
    });

    test('the trace says a correction beside its record, and the recall one that names its lot', async () => {
      const { page, complaints } = await on(
        'auditor',
        `/trace?by=order&key=${encodeURIComponent(limb.number)}`,
      );
      await page.getByText('What happened').waitFor();
      for (;;) {
        const more = page.getByRole('button', { name: 'More of it' });
        if ((await more.count()) === 0) break;
        await more.click();
        await (await as('auditor')).settled();
      }
      const checked = page
        .locator('tr', { hasText: 'lock check passed' })
        .filter({ hasText: 'Corrected on' });
      await checked.getByText('“the lock check was of another day” stands for').waitFor();
      await lookAt(page, 'corrected-trace');
      await lookAtOnPhone(page, 'corrected-trace-phone');

      const recall = await on('prosthetist', recallOfLot());
      await recall.page.getByRole('heading', { name: 'Named in corrections' }).waitFor();
      const wearer = recall.page.locator('tr', { hasText: `${limb.number}/D1` });
      await wearer.getByText('Delivery:').waitFor();
      await lookAt(recall.page, 'corrected-recall');
      await lookAtOnPhone(recall.page, 'corrected-recall-phone');
      expect([...complaints, ...recall.complaints]).toEqual([]);
    });

    test('a signature read back says what was corrected since, and to the bench that there is something', async () => {
      const { page, complaints } = await on('prosthetist', `/signatures/${deliverySignature}`);
      await page.getByRole('heading', { name: 'Corrected in words since' }).waitFor();
      await page.getByText('stands as signed; corrected in words since, 3 times').waitFor();
      await page.getByText('“the delivery was of another day” stands for').waitFor();
      await lookAt(page, 'corrected-signature');
      await lookAtOnPhone(page, 'corrected-signature-phone');
      const bench = await on('technician', `/signatures/${deliverySignature}`);
      await bench.page.getByText('its words are not shown to your role').waitFor();
      await bench.page.getByText('“the lock check was of another day” stands for').waitFor();
      expect(await bench.page.getByText('the delivery was of another day').count()).toBe(0);
      expect([...complaints, ...bench.complaints]).toEqual([]);
    });

    test('in German the same is said in German', async () => {
      const { page, settled } = await openPage(browser, clinic, 'desk', 'de-AT');
      await page.goto('/');
      await page.getByLabel('E-Mail-Adresse').fill(clinic.people.administrator.email);
      await page.getByLabel('Passwort').fill(clinic.people.administrator.password);
      await page.getByRole('button', { name: 'Anmelden' }).click();
      await page.locator('header .who a[href="/password"]').waitFor({ state: 'attached' });
      await page.goto(order());
      await page.getByText('Löschsperre für diesen Auftrag setzen').first().waitFor();
      await page.goto(recallOfLot());
      await page.getByText('Löschsperren für das Los').waitFor();
      await page.getByText('In Berichtigungen genannt').waitFor();
      await page.getByText('Berichtigt am').first().waitFor();
      await settled();
      await lookAt(page, 'hold-recall-german');
      await page.context().close();
    });
  },
);
