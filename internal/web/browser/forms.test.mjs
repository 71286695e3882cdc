// Every form that records, found by taps: tapped twice it is written once; sent again
// and read again it is not written again.
import { after, before, test } from 'node:test'
import assert from 'node:assert/strict'
import { browse, copyHouse, facts, photo, serve, tablet, write } from './lib.mjs'
import { crawl } from './crawl.mjs'

let browser, dir, site
// What the demo house has done with, and what is done with it, in the order in which it
// can be.
const order = (code) => ['order-taken', `order=${code}`, 'customer=Larkspur', 'due=2026-12-18', 'lines.1.product=summer 340', 'lines.1.units=30']
const still = [order('O-81'), order('O-82'), ['promised', 'order=O-82', 'what=R2-12', 'units=5'], ['blend-planned', 'plan=P-81', 'parts.1.content=D009', 'parts.1.mass=100kg'],
  ['recall-started', 'recall=RC-9', 'kind=practice', 'cause=other', 'roots=R1-01']]
const first = ['/do/move?of=D042', '/do/stir?of=D042', '/do/skim?of=T1', '/do/drum-off?of=T1', '/do/stock-check?of=D041', '/do/temperature?of=D041', '/do/promise-back?of=O-82', '/do/promise?of=O-82',
  '/send/pick?of=O-81&all=yes', '/do/order-drop?of=O-82', '/do/plan-drop?of=P-81', '/do/recall-step', '/do/recall-end?of=RC-9']

before(async () => {
  dir = copyHouse()
  for (const fact of still) await write(dir, ...fact)
  browser = await browse()
  site = await serve(dir)
})
after(async () => { await browser?.close(); await site?.stop() })

// What some forms need that fits nothing else.
const special = {
  '/intake': { '0.lot.typed': 'L10', '0.stacks.1.gross': '97.2', '0.stacks.1.tray': '4' },
  '/wet': { '0.lot.typed': 'L10', '0.stacks.1.gross': '47.2', '0.stacks.1.tray': '4' },
  '/enter/combs-back': { '0.lot.typed': 'L10' },
  '/enter/lot-change': { '0.lot.typed': 'L10', '1.lot.typed': 'L10', '2.lot.typed': 'L10' },
  '/do/drum-off': { '0.gross': '317' },
  '/do/hold': { '0.roots.typed': 'L09' },
  '/setup/instruments': { '0.division': '0.5 kg', '1.division': '0.1 %', '0.capacity': '600 kg', '1.capacity': '30 %' },
  '/settings': { language: 'es' },
  '/bring-in': { content: 'site,country\nNew Orchard,VM\n' },
}
const tried = { '/bring-in': '/bring-in?kind=site-opened', '/do/recall-step': '/recall?of=R1-01' } // not the first page found
const answeredByFile = ['/labels/parcels'] // labels to print: a test of the handler sends that form twice

// fill gives every field of a form some value that fits it: whole numbers that are
// moistures too, and names that nothing else bears.
function fill(form, [special, n]) {
  const set = (el, value) => { el.value = value; el.dispatchEvent(new Event('input', { bubbles: true })) }
  for (const el of form.querySelectorAll('input:not([type=hidden], [type=password]), textarea')) {
    if (el.type === 'radio' && special[el.name] === el.value) el.checked = true
    if (el.closest('.when') || el.type === 'radio' || el.type === 'checkbox' || el.type === 'file') continue
    if (special[el.name]) set(el, special[el.name])
    else if (el.value || /typed$|^over|^q$|^to$|^from$/.test(el.name)) continue
    else if (el.classList.contains('figure') || el.inputMode === 'numeric') set(el, '17')
    else if (el.type === 'date') set(el, '2026-11-29')
    else set(el, `seen ${n} ${el.name}`)
  }
  for (const f of form.querySelectorAll('fieldset.picks')) {
    if (f.closest('.when')) continue
    const all = [...f.querySelectorAll('input[type=radio], input[type=checkbox]')]
    if (all.length > 0 && !all.some((x) => x.checked)) all[0].checked = true
  }
}

// sent is the form's address without what it is about.
const sent = (form) => new URL(form.getAttribute('action') || location.href, location.href).pathname

test('every form that records', { timeout: 720_000 }, async () => {
  const page = await tablet(browser, site)
  const forms = new Map(first.map((path) => [path.split('?')[0], path])) // by where it is sent: a page that bears it
  await crawl(page, site, async (path) => {
    for (const to of await page.$$eval('main form[method=post]:has([name=key])', (all, sent) => all.map(eval(sent)), `(${sent})`)) {
      if (!forms.has(to)) forms.set(to, path)
    }
  }, () => 1)
  assert.ok(forms.size > 40, `only ${forms.size} forms were found`)
  const wrong = []
  let n = 0
  for (const [to, path] of forms) {
    if (answeredByFile.includes(to)) continue
    try {
      await once(page, to, tried[to] || path, ++n)
    } catch (e) {
      wrong.push(`${to} on ${path}: ${e.message.split('\n')[0]}`)
    }
  }
  if (wrong.length > 0) assert.fail('\n' + wrong.join('\n'))
})

// find is the form on the page that is sent to an address.
const find = (page, to) => page.evaluateHandle(([to, sent]) => [...document.querySelectorAll('main form[method=post]:has([name=key])')].find((f) => eval(sent)(f) === to && f.querySelector('button:not([type=button])')), [to, `(${sent})`])

// press taps twice on what saves: the form's own button, the answer to what is asked,
// or a PIN; and waits for what comes.
async function press(page, to) {
  const form = await find(page, to)
  const ask = (await form.$('.answer button[name=confirm]')) || (await form.$('.pinask button'))
  for (const name of ['#pin-new', '#pin-again', '#pin']) if (await form.$(`.pinask ${name}`)) await page.fill(name, '2580')
  let button = ask
  for (const b of ask ? [] : await form.$$('button:not([type=button])')) if (!button && await b.isVisible()) button = b
  await page.evaluate(() => { document.documentElement.dataset.old = '1' })
  await button.dblclick({ noWaitAfter: true })
  await page.waitForFunction(() => document.readyState === 'complete' && !document.documentElement.dataset.old && document.querySelector('.foot'))
}

// isSaved: the page after a form says what was written down. How somebody reads, and a
// line that is ticked, is seen at once, so that page says nothing.
const isSaved = (page) => new URL(page.url()).searchParams.has('saved')
const quiet = { '/settings': 2, '/start': 1 } // language and units; one line ticked

async function once(page, to, path, n) {
  await page.goto(site.url + path)
  await (await find(page, to)).evaluate(fill, [special[to] || {}, n])
  const file = await page.$('main form input[name=photo]')
  if (file) await file.setInputFiles(photo)
  const before = (await facts(dir)).length
  let body = null
  const keep = (r) => { if (r.method() === 'POST') body = r }
  page.on('request', keep)
  for (let step = 0; step < (to in quiet ? 1 : 6) && !isSaved(page); step++) {
    await press(page, to)
    const role = await page.$('#over-role')
    if (role && !(await role.inputValue())) { // a form before this one put it on hold: who decides, says why
      await role.fill('owner')
      await page.fill('#over-reason', 'tried')
      continue
    }
    const refused = await page.$('.answer.stop[role=alert]:not(.pinask), .cell.wrong')
    if (refused) throw new Error(`not recorded: ${(await page.$$eval('.answer[role=alert], .cell.wrong', (all) => all.map((x) => x.innerText.replace(/\s+/g, ' ').slice(0, 120)))).join(' | ')}`)
  }
  page.off('request', keep)
  const all = (await facts(dir)).length
  if (!(to in quiet)) {
    assert.ok(isSaved(page), 'not recorded')
    const [first, last] = new URL(page.url()).searchParams.get('saved').split('-').map(Number)
    assert.equal(all - before, last - first + 1, 'entries after two taps')
  } else assert.equal(all - before, quiet[to], 'entries after two taps')
  await page.reload()
  const again = await page.request.post(body.url(), { data: body.postDataBuffer(), headers: { 'content-type': body.headers()['content-type'], 'sec-fetch-site': 'same-origin' } })
  assert.ok(again.status() < 500, `sent again it is answered with ${again.status()}`)
  assert.equal((await facts(dir)).length, all, 'entries after it was sent again')
}
