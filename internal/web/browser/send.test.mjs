// An order by taps: taken, put by, picked, ticked off, sent, and its delivery note; and a
// complaint that becomes a hold. With and without script.
import { after, before, test } from 'node:test'
import assert from 'node:assert/strict'
import { browse, copyHouse, facts, photo, serve, sizes, tablet } from './lib.mjs'

let browser, dir, site
before(async () => { dir = copyHouse(); browser = await browse(); site = await serve(dir) })
after(async () => { await browser?.close(); await site?.stop() })

const last = async () => (await facts(dir)).at(-1)

// follow taps what leads to another page.
async function follow(page, target) {
  const from = page.url()
  await target.first().click()
  await page.waitForURL((url) => url.href !== from)
  await page.locator('.foot').waitFor({ state: 'attached' })
}

const tick = (page, name, value) => page.locator(`label.pick:has([name="${name}"][value="${value}"])`).first().click()
const button = (page) => page.locator('main form.entry .acts.save button.go:visible, main form.entry .pad .save:visible').first()
const save = (page) => Promise.all([page.waitForURL(/saved=/), button(page).click()])

async function taken(page, order, product, units) {
  await page.goto(site.url + '/send')
  await follow(page, page.locator('main a[href="/orders"]'))
  await follow(page, page.locator('main a[href^="/do/order"]'))
  await page.fill('[name="0.order"]', order)
  await tick(page, '0.customer', 'Larkspur')
  await page.fill('[name="0.due"]', '2026-12-18')
  await tick(page, '0.lines.1.product', product)
  await page.fill('[name="0.lines.1.units"]', String(units))
  await save(page)
  const f = await last()
  assert.equal(f.kind, 'order-taken')
  assert.equal(f.order, order)
}

for (const [i, [name, size]] of Object.entries(sizes).entries()) {
  test(`from an order to a delivery note, ${name}`, { timeout: 90_000 }, async () => {
    const page = await tablet(browser, site, { size })
    const order = `O-9${i}`
    await taken(page, order, 'summer 340', 30)
    await page.goto(site.url + `/orders?of=${order}`)
    await follow(page, page.locator(`main a[href^="/do/promise?"]`))
    await save(page)
    const put = await last()
    assert.equal(put.kind, 'promised')
    assert.equal(put.units, 30)

    await page.goto(site.url + '/send')
    await follow(page, page.locator(`main a[href^="/send/pick?of=${order}"]`))
    assert.equal(await page.locator('.pickrows .pick').count(), 1)
    await button(page).click() // nothing is ticked: nothing is sent
    await page.locator('.answer.stop').waitFor()
    assert.notEqual((await last()).kind, 'sent')
    await page.locator('.pickrows .pick').first().click()
    const note = await page.inputValue('[name="0.dispatch"]')
    await page.fill('[name="ship"]', 'back door')
    await save(page)
    const sent = await last()
    assert.equal(sent.kind, 'sent')
    assert.equal(sent.order, order)
    assert.deepEqual([sent.lines[0].what, sent.lines[0].units, sent.lines[0].ship_to], ['R2-12', 30, 'back door'])

    await page.goto(site.url + `/send/note?of=${note}`)
    const said = await page.locator('main').innerText()
    assert.match(said, /R2-12/)
    assert.match(said, /Thornmere Honey House/)
    assert.match(said, /back door/)
    await page.context().close()
  })
}

test('without script', { timeout: 90_000 }, async () => {
  const page = await tablet(browser, site, { javaScriptEnabled: false })
  await taken(page, 'O-95', 'spoon 7', 100)
  await page.goto(site.url + '/send/pick?of=O-95')
  await follow(page, page.locator('main a[href*="all=yes"]'))
  await save(page)
  assert.equal((await last()).kind, 'sent')
  await page.goto(site.url + '/send/pick?of=O-95')
  assert.match(await page.locator('main').innerText(), /Nothing packed can be taken/)
  await page.context().close()
})

test('a complaint becomes a hold, and the held lot can not be taken', { timeout: 90_000 }, async () => {
  const page = await tablet(browser, site)
  await taken(page, 'O-96', 'sachet 12', 100)
  await page.goto(site.url + '/complaints')
  await follow(page, page.locator('main a[href^="/do/complaint?"]'))
  await page.locator('label.pick:has([name="0.class"])').nth(1).click()
  await page.fill('[name="0.mark.typed"]', 'R6-01')
  await page.fill('[name="0.what"]', 'a splinter')
  await page.locator('[name="photo"]').setInputFiles(photo)
  await save(page)
  assert.equal((await last()).kind, 'photo-kept')
  assert.match(await page.locator('main').innerText(), /a splinter/)
  await Promise.all([page.waitForURL(/saved=/), page.locator('main button.alarm', { hasText: 'R6-01' }).first().click()]) // one tap
  assert.deepEqual((await last()).roots, ['R6-01'])
  await page.goto(site.url + '/send/pick?of=O-96')
  assert.match(await page.locator('main').innerText(), /on hold/)
  assert.equal(await page.locator('.pickrows .pick').count(), 0)
  await page.context().close()
})
