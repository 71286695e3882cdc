// Blend: wet honey at the tank, a blend that is found and planned by taps, why there is
// none and what would do; without script too.
import assert from 'node:assert/strict'
import { after, before, test } from 'node:test'
import { browse, copyHouse, serve, sizes, tablet } from './lib.mjs'

let house, browser
before(async () => {
  house = await serve(copyHouse())
  browser = await browse()
})
after(async () => {
  await browser?.close()
  await house?.stop()
})

const page = (size = 'tablet', script = true) => tablet(browser, house, { size: sizes[size], javaScriptEnabled: script })

const spring = '/blend/for?mass=1000&limit=' + encodeURIComponent('kind spring >= 100') + '&limit=' + encodeURIComponent('water <= 17.5')
const none = '/blend/for?mass=3500&limit=' + encodeURIComponent('water <= 16.8')

// answered waits for a search by loading the page again, as somebody without script does.
async function answered(p, path) {
  for (let i = 0; i < 60; i++) {
    await p.goto(house.url + path)
    if (!(await p.locator('[data-working]').count())) return
    await new Promise((done) => setTimeout(done, 500))
  }
  assert.fail('the search did not end')
}

test('two taps say whether wet honey can be taken down', async () => {
  const p = await page()
  await p.goto(house.url + '/blend')
  await p.getByRole('link', { name: /D017/ }).click()
  assert.match(await p.locator('.stamp').innerText(), /keeps/)
  assert.match(await p.locator('main').innerText(), /never soft-set/)
  assert.equal(await p.locator('#two-wet').inputValue(), 'D017')
})

test('a blend is planned with one tap and stands beside what is tipped; a second tap plans nothing', async () => {
  const p = await page()
  await answered(p, spring)
  assert.match(await p.locator('.stamp').innerText(), /All limits met/)
  assert.ok(await p.locator('.lims li').count() >= 3)
  await p.locator('.lims a.num').first().click()
  assert.ok(await p.locator('aside.how:target').isVisible())
  await p.goBack()
  const form = p.locator('form.planform')
  const [key, work, plan] = await Promise.all(['key', 'work', 'plan'].map((name) => form.locator(`[name=${name}]`).inputValue()))
  await form.locator('button.go').click()
  await p.waitForURL((url) => url.pathname === '/blend/plan' && url.searchParams.get('of') === plan)
  assert.match(await p.locator('main').innerText(), /nothing tipped yet/)
  const again = await p.request.post(house.url + spring, { form: { key, work, plan, person: 'owner' }, headers: { origin: house.url } })
  assert.ok(again.status() < 500)
  await p.goto(house.url + '/blend')
  assert.equal(await p.locator('.blendrows').getByText(plan, { exact: true }).count(), 1)
})

test('no blend names what clashes and a change that works, one tap away, at three sizes and without script', async () => {
  for (const size of Object.keys(sizes)) {
    const p = await page(size, false)
    await answered(p, none)
    assert.match(await p.locator('.stamp').innerText(), /No blend/)
    assert.match(await p.locator('.say.verdict').innerText(), /moisture at most 16\.8/i)
    await p.context().close()
  }
  const p = await page('tablet', false)
  await answered(p, none)
  await p.locator('.ways a.btn').first().click()
  await answered(p, new URL(p.url()).pathname + new URL(p.url()).search)
  assert.match(await p.locator('.stamp').innerText(), /All limits met/)
})

test('no page of Blend is wider than the window', async () => {
  for (const [size, { width }] of Object.entries(sizes)) {
    const p = await page(size)
    for (const path of ['/blend', spring, none, '/blend/two?wet=D017,D018,D019']) {
      await p.goto(house.url + path)
      const wide = await p.evaluate(() => document.documentElement.scrollWidth)
      assert.ok(wide <= width, `${path} at ${size} is ${wide} wide`)
    }
    await p.context().close()
  }
})
