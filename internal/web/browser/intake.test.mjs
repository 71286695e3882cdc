// Intake with the on-screen keypad: ten entries, none lost, none doubled, at most seven
// taps each; a stack that slipped is asked back; the last one is undone by one tap.
import { after, before, test } from 'node:test'
import assert from 'node:assert/strict'
import { browse, copyHouse, facts, serve, sizes, tablet } from './lib.mjs'

let browser, dir, site
before(async () => { dir = copyHouse(); browser = await browse(); site = await serve(dir) })
after(async () => { await browser?.close(); await site?.stop() })

// finger taps, and counts.
function finger(page) {
  let n = 0
  const tap = async (locator) => { n++; await locator.click() }
  return { tap, count: () => n, again: () => { n = 0 },
    keys: async (text) => { for (const k of text) await tap(page.locator(`.pad [data-k="${k}"]`)) } }
}

const stacks = async () => (await facts(dir)).filter((f) => f.kind === 'supers-received')

async function loadSheet(page, lot, boxes) {
  await page.goto('/enter/load?of=Brackenlow&back=/intake')
  await page.fill('[name="0.lot"]', lot)
  await page.fill('[name="1.boxes"]', String(boxes))
  await page.locator('form.entry button:has-text("Save"):visible').first().click()
  await page.waitForURL(/saved=/)
}

for (const size of ['tablet', 'upright']) {
  test(`ten stacks on the ${size}`, { timeout: 300_000 }, async () => {
    const page = await tablet(browser, site, { size: sizes[size] })
    const lot = size === 'tablet' ? 'L81' : 'L82'
    await loadSheet(page, lot, 76)
    const before = (await stacks()).length
    await page.goto(`/intake?lot=${lot}`)
    const hand = finger(page)
    for (let i = 0; i < 10; i++) {
      hand.again()
      // the first says how many boxes a stack has; the seventh has one less
      if (i === 0) await hand.tap(page.locator('.picks.row .pick', { hasText: /^8$/ }))
      if (i === 6) await hand.tap(page.locator('.picks.row .pick', { hasText: /^7$/ }))
      await hand.keys(`21${i}.6`)
      const save = page.locator('.pad .save')
      const next = `stack ${(size === 'tablet' ? 1 : 11) + i + 1}`
      await Promise.all([page.waitForFunction((t) => document.querySelector('.pad .save')?.textContent.includes(t), next), save.dblclick({ noWaitAfter: true })])
      const taps = hand.count() + 1 // the second of the two taps is the slip of a glove
      assert.ok(taps <= 7, `entry ${i + 1} took ${taps} taps`)
    }
    const made = (await stacks()).slice(before)
    assert.equal(made.length, 10, `${made.length} entries of ten`)
    assert.deepEqual(made.map((f) => f.stacks[0].gross), Array.from({ length: 10 }, (_, i) => `21${i}.6 kg`))
    await page.close()
  })
}

test('a slipped point is asked back, and the last stack undone by one tap', { timeout: 300_000 }, async () => {
  const page = await tablet(browser, site)
  await loadSheet(page, 'L83', 20)
  await page.goto('/intake?lot=L83')
  const hand = finger(page)
  const before = (await facts(dir)).length
  await hand.tap(page.locator('.picks.row .pick', { hasText: /^8$/ }))
  await hand.keys('2146')
  await page.locator('.pad .save').click()
  await page.locator('.answer.watch').waitFor()
  assert.equal(await page.inputValue('[name="0.stacks.1.gross"]'), '2146')
  assert.equal((await facts(dir)).length, before)
  await page.locator('label.fld:has([name="0.stacks.1.gross"])').click()
  await hand.keys('214.6')
  await Promise.all([page.waitForURL(/saved=/), page.locator('.pad .save').click()])
  await page.locator('.pad .undo').click()
  await page.waitForFunction(() => document.querySelector('h1')?.textContent === 'Supers in' && !document.querySelector('.answer'))
  const last = (await facts(dir)).at(-1)
  assert.equal(last.kind, 'struck')
})

test('paper sheets print on one A4 page in every language', { timeout: 300_000 }, async () => {
  for (const person of ['owner', 'hand-2', 'hand-3']) {
    const page = await tablet(browser, site, { person })
    for (const sheet of ['yard', 'bees', 'intake', 'extract', 'readings', 'clean']) {
      await page.goto(`/blank?sheet=${sheet}`)
      const pdf = (await page.pdf({ preferCSSPageSize: true })).toString('latin1')
      assert.equal(pdf.match(/\/Type\s*\/Page[^s]/g)?.length, 1, `${sheet} for ${person}`)
      assert.match(pdf, /MediaBox\s*\[\s*0 0 59[45]\.?\d* 84[12]/)
    }
    await page.context().close()
  }
})
