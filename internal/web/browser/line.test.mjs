// What happens to what was typed when the line breaks, the program dies or another
// tablet was quicker: nothing is lost, nothing is written twice.
import { after, before, test } from 'node:test'
import assert from 'node:assert/strict'
import { browse, copyHouse, facts, serve, tablet, write } from './lib.mjs'

let browser
before(async () => { browser = await browse() })
after(async () => { await browser?.close() })

const hold = '/do/hold?back=%2Fstock&of=D042'
const save = (page) => page.locator('main form.entry button.go:visible, main form.entry .pad .save:visible').first()
const holds = async (dir) => (await facts(dir)).filter((f) => f.kind === 'hold-set').length

// typed fills in the form of a hold.
async function typed(page, site, reason) {
  await page.goto(site.url + hold)
  await page.locator('label.pick:has([name="0.cause"])').first().click()
  await page.locator('[name="0.reason"]').fill(reason)
}

test('the program is killed between the tap and the answer', { timeout: 300_000 }, async () => {
  const dir = copyHouse()
  const site = await serve(dir)
  const page = await tablet(browser, site)
  await typed(page, site, 'killed at the tap')
  const was = await holds(dir)
  await page.route('**/do/hold*', async (route) => {
    if (route.request().method() !== 'POST') return route.continue()
    await route.fetch({ maxRedirects: 0 }) // it reaches the house and is written down
    await site.kill()
    await route.abort() // the answer never comes
  })
  await save(page).click()
  await page.locator('#unsent').waitFor({ state: 'visible' })
  assert.equal(await holds(dir), was + 1)
  assert.equal(await page.inputValue('[name="0.reason"]'), 'killed at the tap', 'what was typed stays')
  await page.unroute('**/do/hold*')
  const again = await serve(dir, site.port)
  await Promise.all([page.waitForURL(/saved=/), save(page).click()])
  assert.equal(await holds(dir), was + 1, 'the same form again is the same entry')
  await page.context().close()
  await again.stop()
})

test('the network is gone', { timeout: 300_000 }, async () => {
  const dir = copyHouse()
  const site = await serve(dir)
  const page = await tablet(browser, site)
  await typed(page, site, 'no line in the barn')
  const was = await holds(dir)
  await page.context().setOffline(true)
  await save(page).click()
  await page.locator('#unsent').waitFor({ state: 'visible' })
  assert.match(await page.locator('#unsent').innerText(), /save again/)
  assert.match(page.url(), /\/do\/hold/)
  assert.equal(await page.inputValue('[name="0.reason"]'), 'no line in the barn')
  assert.equal(await holds(dir), was)
  await page.context().setOffline(false)
  await Promise.all([page.waitForURL(/saved=/), save(page).dblclick({ noWaitAfter: true })])
  assert.equal(await holds(dir), was + 1)
  await page.context().close()
  await site.stop()
})

test('an open page says that the line is gone, and that it is back, and shows what happened meanwhile', { timeout: 300_000 }, async () => {
  const dir = copyHouse()
  const site = await serve(dir)
  const page = await tablet(browser, site)
  await Promise.all([page.waitForResponse((r) => r.url().endsWith('/news')), page.goto(site.url + '/')])
  await site.kill()
  await page.locator('#lost').waitFor({ state: 'visible' })
  assert.match(await page.locator('#house').innerText(), /S1/, 'the page stays')
  assert.doesNotMatch(await page.locator('#house').innerText(), /warming room/)
  await write(dir, 'placed', 'place=warming room', 'what=D009')
  const again = await serve(dir, site.port)
  await page.locator('#lost').waitFor({ state: 'hidden' })
  await page.locator('#house h2', { hasText: 'warming room' }).waitFor()
  await page.context().close()
  await again.stop()
})

// move fills in that some honey went from one vessel into another.
async function move(page, site, from, to, kg) {
  await page.goto(site.url + `/do/move?back=%2Fstock&of=${from}`)
  await page.locator(`label.pick:has([name="0.to"][value="${to}"])`).click()
  await page.locator('[name="0.pours.mass"]').fill(String(kg))
}

test('two tablets at the same vessel', { timeout: 300_000 }, async () => {
  const dir = copyHouse()
  const site = await serve(dir)
  const [a, b] = [await tablet(browser, site), await tablet(browser, site, { person: 'hand-1' })]
  await move(a, site, 'D042', 'T1', 40)
  await Promise.all([a.waitForURL(/saved=/), save(a).click()])
  await move(b, site, 'T1', 'T2', 25) // one is shown what stands in T1
  await move(a, site, 'D043', 'T1', 30) // the other pours onto it
  await Promise.all([a.waitForURL(/saved=/), save(a).click()])
  const was = (await facts(dir)).length
  await save(b).click()
  const asked = b.locator('.answer.watch[role=alert]')
  await asked.waitFor()
  assert.match(await asked.innerText(), /T1/)
  assert.equal((await facts(dir)).length, was, 'nothing is written before the answer')
  assert.equal(await b.inputValue('[name="0.pours.mass"]'), '25', 'what was typed stays')
  await Promise.all([b.waitForURL(/saved=/), asked.locator('button[name=confirm]').dblclick({ noWaitAfter: true })])
  assert.equal((await facts(dir)).length, was + 1)
  for (const page of [a, b]) await page.context().close()
  await site.stop()
})

test('news reaches an open page by itself', { timeout: 300_000 }, async () => {
  const dir = copyHouse()
  const site = await serve(dir)
  const [open, other] = [await tablet(browser, site), await tablet(browser, site)]
  await open.goto(site.url + '/')
  await open.waitForFunction(() => document.getElementById('clock').querySelector('b').textContent !== '')
  await open.evaluate(() => {
    window.heard = null
    const news = new EventSource('/news')
    let was // how many facts there were
    news.onmessage = (e) => { if (was === undefined) was = e.data; else if (e.data !== was) window.heard ??= Date.now() }
    window.swapped = new Promise((done) => new MutationObserver(() => done(Date.now())).observe(document.querySelector('main'), { childList: true, subtree: true }))
    return new Promise((done) => { news.onopen = done })
  })
  await typed(other, site, 'seen at once')
  const began = Date.now()
  await Promise.all([other.waitForURL(/saved=/), save(other).click()])
  await open.waitForFunction(() => window.heard)
  const heard = await open.evaluate(() => window.heard)
  const shown = await open.evaluate(() => window.swapped)
  // how quick it is, is told here and bounded by no test: the machine may be busy
  assert.ok(heard > 0 && shown > 0)
  console.log(`heard ${heard - began} ms after the tap, shown ${shown - began} ms after it`)
  await open.context().close()
  await other.context().close()
  await site.stop()
})
