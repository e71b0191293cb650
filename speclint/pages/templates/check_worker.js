// Runs speclint: starts Python, unpacks the package and the club's rulesets, and answers one question after another.
let checks, python;

async function fetched(address) {
  const answer = await fetch(address);
  if (!answer.ok) throw new Error(`${address} cannot be loaded (${answer.status})`);
  return answer.arrayBuffer();
}

async function open({open: base, archive, ruleset}) {
  if (!python) {
    postMessage({stage: 'Starting Python', share: 0.82});
    const {loadPyodide} = await import(`${base}runtime/pyodide.mjs`);
    python = await loadPyodide({indexURL: `${base}runtime/`});
    postMessage({stage: 'Unpacking speclint', share: 0.9});
    python.unpackArchive(await fetched(`${base}speclint.zip`), 'zip', {extractDir: '/packages'});
    python.runPython('import sys; sys.path.append("/packages")');
  }
  postMessage({stage: 'Reading the rules', share: 0.95});
  checks = python.pyimport('speclint.browser.answers').opened(new Uint8Array(await fetched(archive)), ruleset);
}

self.onmessage = async ({data}) => {
  try {
    if (data.open) {
      await open(data);
      postMessage({ready: true});
    } else {
      const question = python.toPy(data.question);
      postMessage({id: data.id, answer: JSON.parse(checks.answer(question))});
      question.destroy();
    }
  } catch (error) {
    const text = String(error.message ?? error).trim().split('\n').pop();
    postMessage(data.open ? {failed: text} : {id: data.id, answer: {refused: `speclint has met a defect of its own, for which we are sorry: ${text}`}});
  }
};
