// Without a finger and without script: the keyboard alone, a browser that runs no
// script, and what people set their device to.
import { after, before, test } from 'node:test'
import assert from 'node:assert/strict'
import { browse, copyHouse, facts, serve, sizes, tablet } from './lib.mjs'
import { fits, reads, touches } from './measure.mjs'

let browser, dir, site
before(async () => { dir = copyHouse(); browser = await browse(); site = await serve(dir) })
after(async () => { await browser?.close(); await site?.stop() })

// focus is what has it, and whether that is seen: a ring of at least 3 px around it or
// around what stands for it, inside the window.
const focus = (page) => page.evaluate(() => {
  const el = document.activeElement
  if (!el || el === document.body) return null
  const faces = [el, el.nextElementSibling, el.closest('label')].filter(Boolean)
  const ring = faces.some((x) => {
    const s = getComputedStyle(x)
    return s.outlineStyle !== 'none' && parseFloat(s.outlineWidth) >= 3 || x.classList.contains('fld') && parseFloat(s.borderTopWidth) >= 4
  })
  const box = (faces.find((x) => x.getBoundingClientRect().width > 1) || el).getBoundingClientRect()
  return { ring, inside: box.bottom > 0 && box.top < innerHeight, name: `${el.tagName} ${el.id || el.name || el.innerText}`.slice(0, 60), href: el.getAttribute('href') }
})

test('the skip link comes first and leads to what the page is about', async () => {
  const page = await tablet(browser, site)
  await page.goto(site.url + '/')
  await page.keyboard.press('Tab')
  const first = await focus(page)
  assert.equal(first.href, '#main')
  assert.ok(first.ring && first.inside, 'it is seen')
  await page.keyboard.press('Enter')
  await page.keyboard.press('Tab')
  assert.ok(await page.evaluate(() => document.getElementById('main').contains(document.activeElement)))
  await page.context().close()
})

test('the keyboard reaches everything, and where it is, is always seen', { timeout: 300_000 }, async () => {
  const page = await tablet(browser, site)
  for (const path of ['/', '/stock', '/intake', '/extract', '/vessel?of=D041', '/do/hold?of=D041', '/trace?of=L05', '/holds', '/house', '/blend', '/fill', '/warm', '/send', '/send/pick?of=O-06', '/orders', '/complaints']) {
    await page.goto(site.url + path)
    const seen = new Set()
    for (let i = 0; i < 400; i++) {
      await page.keyboard.press('Tab')
      const at = await focus(page)
      if (!at) break
      assert.ok(at.ring, `${path}: no ring around ${at.name}`)
      assert.ok(at.inside, `${path}: ${at.name} has the focus out of sight`)
      seen.add(at.name + at.href)
    }
    const all = await page.$$eval('a[href], button, summary', (all) => new Set(all.filter((x) => x.checkVisibility() && !x.closest('.how')).map((x) => `${x.tagName} ${x.id || x.name || x.innerText}`.slice(0, 60) + x.getAttribute('href'))).size)
    assert.ok(seen.size >= all, `${path}: ${seen.size} of ${all} are reached`)
  }
  await page.context().close()
})

test('a sheet that says how opens, closes by Escape, and focus comes back', async () => {
  const page = await tablet(browser, site)
  await page.goto(site.url + '/trace?of=L05')
  const opener = page.locator('a.num[href^="#how"]').first()
  await opener.focus()
  await page.keyboard.press('Enter')
  await page.locator('.how:target').waitFor()
  await page.waitForFunction(() => document.activeElement.closest('.how')) // focus is inside
  await page.keyboard.press('Escape')
  await page.locator('.how:target').waitFor({ state: 'detached' })
  const at = await opener.elementHandle()
  await page.waitForFunction((x) => document.activeElement === x, at) // focus is back
  await page.context().close()
})

test('a hold by the keyboard alone; Enter saves', async () => {
  const page = await tablet(browser, site)
  const was = (await facts(dir)).length
  await page.goto(site.url + '/do/hold?of=D042&back=/stock')
  for (let i = 0; i < 60 && !(await page.evaluate(() => document.activeElement.name === '0.cause')); i++) await page.keyboard.press('Tab')
  await page.keyboard.press('Space')
  for (let i = 0; i < 60 && !(await page.evaluate(() => document.activeElement.name === '0.reason')); i++) await page.keyboard.press('Tab')
  await page.keyboard.type('typed by keys')
  await Promise.all([page.waitForURL(/saved=/), page.keyboard.press('Enter')])
  assert.equal((await facts(dir)).length, was + 1)
  await page.context().close()
})

test('without script every page reads, how opens, and a form is recorded', { timeout: 300_000 }, async () => {
  const page = await tablet(browser, site, { javaScriptEnabled: false })
  for (const path of ['/', '/intake', '/extract', '/stock', '/blend', '/fill', '/send', '/send/pick?of=O-06', '/send/note?of=DN-O-02', '/orders', '/products', '/materials', '/complaints', '/warm?of=D025', '/trace', '/trace?of=L05', '/vessel?of=D041', '/holds', '/house', '/people']) {
    const answer = await page.goto(site.url + path)
    assert.ok(answer.ok(), path)
    assert.ok((await page.locator('main').innerText()).length > 20, `${path} says nothing`)
  }
  await page.goto(site.url + '/trace?of=L05')
  await page.locator('a.num[href^="#how"]').first().click()
  assert.ok(await page.locator('.how').first().isVisible())
  const was = (await facts(dir)).length
  await page.goto(site.url + '/do/hold?of=D044&back=/stock')
  await page.locator('label.pick:has([name="0.cause"])').first().click()
  await page.locator('[name="0.reason"]').fill('no script')
  await Promise.all([page.waitForURL(/saved=/), page.locator('main form.entry button.go:visible').first().click()])
  assert.equal((await facts(dir)).length, was + 1)
  await page.goto(site.url + '/do/temperature?of=D044&back=/stock')
  await page.locator('input.figure').first().fill('21')
  await Promise.all([page.waitForURL(/saved=/), page.locator('main form.entry button.go:visible').first().click()])
  await Promise.all([page.waitForURL((u) => !u.search.includes(`saved=${was + 2}`)), page.locator('.receipt button').click()])
  assert.equal((await facts(dir)).at(-1).kind, 'struck', 'undone')
  await page.context().close()
})

test('large for gloves on the largest screen, under the left hand', { timeout: 300_000 }, async () => {
  const page = await tablet(browser, site, { size: sizes.office })
  await page.goto(site.url + '/settings')
  const wrong = []
  for (const [button, set] of [['size', 'tablet'], ['hand', 'left']]) {
    await page.locator(`main button[name=${button}]`).click()
    await page.waitForFunction(([b, set]) => document.documentElement.dataset[b === 'size' ? 'tablet' : b] === (b === 'size' ? '' : set), [button, set])
  }
  for (const path of ['/', '/intake?lot=L10', '/stock', '/vessel?of=D035', '/trace?of=R1-01', '/do/move?of=D042', '/settings']) {
    await page.setViewportSize(sizes.office)
    await page.goto(site.url + path)
    const high = await page.evaluate(() => document.documentElement.scrollHeight)
    wrong.push(...await page.evaluate(fits, { tables: false }), ...await page.evaluate(reads, { text: 16, drawn: 14 }))
    await page.setViewportSize({ ...sizes.office, height: Math.max(sizes.office.height, high) })
    wrong.push(...await page.evaluate(touches, { across: 56, down: 56 }))
    assert.deepEqual(wrong, [], path)
  }
  await page.goto(site.url + '/intake?lot=L10')
  const [pad, fields] = await page.evaluate(() => ['.pad', '.intake>.stack'].map((s) => document.querySelector(s).getBoundingClientRect().left))
  assert.ok(pad < fields, 'the keys are on the left')
  await page.goto(site.url + '/settings')
  await page.locator('main button[name=size][value=screen]').click()
  await page.waitForFunction(() => document.documentElement.dataset.tablet === undefined)
  await page.context().close()
})

test('nothing moves where no motion is wanted; edges stay in forced colours; a dark room', async () => {
  const page = await tablet(browser, site)
  await page.goto(site.url + '/intake')
  assert.equal(await page.evaluate(() => document.getAnimations().length), 0)
  await page.emulateMedia({ forcedColors: 'active' })
  await page.goto(site.url + '/')
  const bare = await page.$$eval('.btn, .st, .tool', (all) => all.filter((x) => x.checkVisibility() && parseFloat(getComputedStyle(x).borderTopWidth) < 1).map((x) => x.innerText))
  assert.deepEqual(bare, [])
  await page.emulateMedia({ forcedColors: 'none' })
  await Promise.all([page.waitForLoadState(), page.locator('button[name=room]').first().click()])
  await page.waitForFunction(() => document.documentElement.dataset.room === 'dark')
  assert.equal(await page.evaluate(() => getComputedStyle(document.body).backgroundColor), 'rgb(14, 22, 34)')
  await page.context().close()
})
