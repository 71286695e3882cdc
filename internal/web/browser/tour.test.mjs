// A whole day by taps, from Intake to Send: supers come in, are weighed, spun, run into a
// tank and drawn into a drum; honey is warmed, tipped, filled, checked, counted up, put by
// for an order, picked and sent; and what was sent is traced to its drum.
import { after, before, test } from 'node:test'
import assert from 'node:assert/strict'
import { browse, copyHouse, facts, serve, tablet, taps } from './lib.mjs'

let browser, dir, site
before(async () => { dir = copyHouse(); browser = await browse(); site = await serve(dir) })
after(async () => { await browser?.close(); await site?.stop() })

const all = async (kind) => (await facts(dir)).filter((f) => f.kind === kind)
const { follow, tab, pick, typed, save } = taps(() => dir)
const link = (page, begins) => page.locator(`main a[href^="${begins}"]`)

test('a whole day, from Intake to Send', { timeout: 300_000 }, async () => {
  const page = await tablet(browser, site)
  await page.goto(site.url + '/')

  // the office takes an order
  await tab(page, 'Send')
  await follow(page, link(page, '/orders'))
  await follow(page, link(page, '/do/order'))
  await page.fill('[name="0.order"]', 'O-90')
  await pick(page, '0.customer', 'Larkspur')
  await page.fill('[name="0.due"]', '2026-12-18')
  await pick(page, '0.lines.1.product', 'summer 340')
  await page.fill('[name="0.lines.1.units"]', '600')
  await save(page)

  // the day sheet plans it: 290 jars are in stock, jars for the others must be ordered
  await tab(page, 'Today')
  await follow(page, link(page, '/day'))
  const main = () => page.locator('main').innerText()
  for (let i = 0; i < 120 && !/O-90/.test(await main()); i++) {
    await new Promise((done) => setTimeout(done, 500))
    await page.reload()
  }
  assert.match(await main(), /Order JAR340: 314 short, by 30 Nov 2026/)
  assert.match(await main(), /O-90[\s\S]*310[\s\S]*22 Dec 2026/)
  await tab(page, 'Today')
  const job = page.locator('#jobs li', { hasText: 'Order JAR340' })
  for (let i = 0; i < 120 && !(await job.count()); i++) {
    await new Promise((done) => setTimeout(done, 500))
    await page.reload()
  }
  await job.locator('button').click()
  await page.waitForURL(/saved=/)
  assert.equal((await all('job-ticked')).at(-1).done, 'yes')
  await page.locator('#jobs li.done', { hasText: 'Order JAR340' }).waitFor() // it comes by itself

  // supers come in, are weighed and spun
  await tab(page, 'Intake')
  await follow(page, link(page, '/enter/load'))
  await page.fill('[name="0.lot"]', 'L90')
  await pick(page, '0.site', 'Kestrel Bank')
  await page.fill('[name="1.boxes"]', '8')
  await save(page)
  await tab(page, 'Intake')
  await pick(page, '0.lot', 'L90')
  await pick(page, '0.stacks.1.boxes', '8')
  await typed(page, '0.stacks.1.gross', '216.4')
  await save(page)
  await tab(page, 'Extract')
  await follow(page, link(page, '/enter/spin'))
  await pick(page, '0.lot', 'L90')
  await typed(page, '0.boxes', '8')
  await pick(page, '0.machines', 'extractor A')
  await save(page)
  await tab(page, 'Extract')
  await follow(page, page.locator('main a[href^="/enter/run-in"][href*="L90"]'))
  await pick(page, '0.into', 'S1')
  await save(page)

  // the tank is drawn into the steel that is next
  await tab(page, 'Today')
  await follow(page, page.locator('#house a.bay:has(dt:text-is("S1"))'))
  await follow(page, link(page, '/do/drum-off'))
  const drum = await page.inputValue('[name="0.drum"]')
  assert.match(drum, /^D111$/, 'the next number is offered')
  await page.locator('[name="0.steel.typed"]').fill('S-001')
  await typed(page, '0.gross', '158.6')
  await save(page)

  // a drum is wanted warm, goes into the warming room and is tipped
  await page.goto(site.url + '/vessel?of=D025')
  await follow(page, page.locator('main a[href="/warm?of=D025"]'))
  await page.goto(site.url + '/vessel?of=D025')
  await follow(page, link(page, '/do/place'))
  await pick(page, '0.place', 'warming room')
  await save(page)
  await page.goto(site.url + '/vessel?of=D025')
  await follow(page, link(page, '/do/move'))
  await pick(page, '0.to', 'T1')
  await pick(page, '0.pours.emptied', 'yes')
  await save(page)

  // it is filled, checked, counted
  await tab(page, 'Fill')
  await follow(page, link(page, '/enter/run-start'))
  await pick(page, '0.product', 'summer 340')
  await pick(page, '0.from', 'T1')
  const run = await page.inputValue('[name="0.run"]')
  await save(page)
  await page.goto(site.url + `/fill?of=${run}`)
  await follow(page, link(page, '/enter/filler'))
  await page.fill('[name="0.target"]', '341.0')
  await save(page)
  await page.goto(site.url + `/fill?of=${run}`)
  await follow(page, link(page, '/fill/check'))
  for (let n = 1; n <= 4; n++) for (let i = 1; i <= 5; i++) await page.fill(`[name="0.nozzles.${n}.weights.${i}.net"]`, (340.4 + 0.3 * i).toFixed(1))
  await save(page)
  await page.goto(site.url + `/fill?of=${run}`)
  await follow(page, link(page, '/enter/filled'))
  await page.fill('[name="0.units"]', '620')
  await page.fill('[name="0.mass"]', '211.6')
  const mark = await page.inputValue('[name="0.mark"]')
  await save(page)
  assert.equal((await all('filled')).at(-1)?.mark ?? mark, mark)

  // its label, with what was checked and its picture; nothing but a marked proof yet
  await page.goto(site.url + `/fill?of=${run}`)
  await follow(page, link(page, '/labels'))
  assert.ok(await page.locator('main svg').first().isVisible())
  assert.match(await page.locator('main').innerText(), /L R7-01[\s\S]*Inside 5 % by both readings/)
  assert.equal(await page.locator('form[action="/labels/print"]').count(), 0)

  // put by for the order, picked and sent
  await page.goto(site.url + '/orders?of=O-90')
  await follow(page, link(page, '/do/promise?'))
  await save(page)
  await tab(page, 'Send')
  await follow(page, link(page, '/send/pick?of=O-90'))
  for (const row of await page.locator('.pickrows .pick').all()) await row.click()
  const note = await page.inputValue('[name="0.dispatch"]')
  await save(page)
  await page.goto(site.url + `/send/note?of=${note}`)
  assert.match(await page.locator('main').innerText(), new RegExp(mark), 'the note bears the lot mark')

  // and it is found again
  await tab(page, 'Trace')
  await page.fill('#code', mark)
  await follow(page, page.locator('main .find button'))
  await page.locator('main summary', { hasText: 'Step by step' }).click()
  const said = await page.locator('main').innerText()
  assert.match(said, /D025/, 'back to the drum')
  assert.match(said, /Larkspur/, 'forward to the customer')
})
