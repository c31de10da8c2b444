// Looks at the page in the frame and writes a list of faults as JSON into the element
// "faults". The names smallest and paper are set before; on paper the rules for print hold.
document.getElementById('page').addEventListener('load', () => {
  const frame = document.getElementById('page'), doc = frame.contentDocument, win = frame.contentWindow
  if (paper) for (const sheet of doc.styleSheets) for (const rule of sheet.cssRules) if (rule.media) {
    const media = rule.media.mediaText
    if (media.includes('print')) rule.media.mediaText = 'all'
    if (media.includes('screen')) rule.media.mediaText = 'not all'
  }
  const faults = []
  const say = (kind, e, more) => { if (faults.length < 60) faults.push(kind + ': ' + (e ? e.tagName.toLowerCase() + ' "' + (e.textContent || '').trim().slice(0, 60) + '" ' : '') + (more || '')) }
  const seen = e => { const r = e.getBoundingClientRect(), s = win.getComputedStyle(e); return r.width > 0 && r.height > 0 && s.visibility !== 'hidden' && r.right > 0 }
  const width = doc.documentElement.clientWidth
  if (doc.documentElement.scrollWidth > width) say('wider than the window', null, doc.documentElement.scrollWidth + ' of ' + width + ' px')

  const light = c => { const m = c.match(/[\d.]+/g).map(Number); if (m.length > 3 && m[3] === 0) return null
    const f = m.slice(0, 3).map(v => { v /= 255; return v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4 }); return 0.2126 * f[0] + 0.7152 * f[1] + 0.0722 * f[2] }
  const walker = doc.createTreeWalker(doc.body, NodeFilter.SHOW_TEXT)
  for (let n = walker.nextNode(); n; n = walker.nextNode()) {
    const e = n.parentElement
    if (!n.data.trim() || ['SCRIPT', 'STYLE', 'TITLE', 'title', 'desc', 'style', 'OPTION'].includes(e.tagName) || !seen(e)) continue
    const style = win.getComputedStyle(e)
    let size = parseFloat(style.fontSize)
    if (e.ownerSVGElement) size *= Math.abs(e.getScreenCTM().a)
    if (size < smallest - 0.05) say('text too small', e, size.toFixed(1) + ' px')
    const range = doc.createRange(); range.selectNodeContents(n)
    for (const r of range.getClientRects()) if (r.right > width + 1 || r.left < -1 && r.right > 0) { say('text cut at the edge', e, Math.round(r.left) + ' to ' + Math.round(r.right)); break }
    if (e.ownerSVGElement) continue
    let back = null
    for (let p = e; p && back === null; p = p.parentElement) back = light(win.getComputedStyle(p).backgroundColor)
    const a = light(style.color), b = back === null ? 1 : back
    const ratio = (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05)
    if (ratio < 4.5) say('contrast ' + ratio.toFixed(1), e)
  }
  for (const svg of doc.querySelectorAll('svg[role=img]')) {
    if (!seen(svg)) continue
    if (!svg.querySelector('title') || !svg.querySelector('desc')) say('picture without title or description', svg)
    const r = svg.getBoundingClientRect()
    const boxes = []
    for (const t of svg.querySelectorAll('text')) {
      const b = t.getBoundingClientRect()
      if (b.left < r.left - 1 || b.right > r.right + 1 || b.top < r.top - 1 || b.bottom > r.bottom + 2) say('label cut', t, 'in ' + (svg.querySelector("title")||{}).textContent)
      boxes.push([t, b])
    }
    for (let i = 0; i < boxes.length; i++) for (let j = 0; j < i; j++) {
      const [t, b] = boxes[i], [u, c] = boxes[j]
      const w = Math.min(b.right, c.right) - Math.max(b.left, c.left), h = Math.min(b.bottom, c.bottom) - Math.max(b.top, c.top)
      if (w > 3 && h > 5) say('labels over each other', t, 'and "' + u.textContent + '" in ' + (svg.querySelector("title")||{}).textContent)
    }
  }
  for (const t of doc.querySelectorAll('table')) {
    if (!t.caption || !t.caption.textContent.trim()) say('table without a caption', t)
    for (const row of t.tBodies[0] ? t.tBodies[0].rows : []) if (!row.querySelector('th[scope=row]')) { say('row without a head', row); break }
    for (const th of t.querySelectorAll('thead th')) if (th.scope !== 'col') say('column head without a scope', th)
  }
  let level = 0
  for (const h of doc.querySelectorAll('h1,h2,h3,h4,h5,h6')) {
    const l = +h.tagName[1]
    if (l > level + 1) say('heading skips a level', h)
    level = l
  }
  if (doc.querySelectorAll('h1').length !== 1) say('not one first heading')
  const ids = new Set()
  for (const e of doc.querySelectorAll('[id]')) { if (ids.has(e.id)) say('the same id twice', e, e.id); ids.add(e.id) }
  for (const a of doc.querySelectorAll('a[href^="#"]')) if (!doc.getElementById(a.getAttribute('href').slice(1))) say('link to nowhere', a)
  for (const f of doc.querySelectorAll('input:not([type=hidden]):not([type=submit]),select,textarea')) if (!f.labels.length && !f.getAttribute('aria-label')) say('field without a label', f, f.name)
  if (!doc.documentElement.lang) say('no language')
  if (!doc.querySelector('main')) say('no main part')
  document.getElementById('faults').textContent = JSON.stringify(faults)
})
