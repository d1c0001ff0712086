// The device's own store. A write counts once its transaction is complete, forced to the disk.
const NAME = "bay";
const VERSION = 1;
let opening = null;

function build(db) {
  // Immutable: added under a running number, never changed.
  db.createObjectStore("events", { keyPath: "number", autoIncrement: true });
  db.createObjectStore("sending", { keyPath: "id" }); // what became of each event
  db.createObjectStore("photos", { keyPath: "sha256" });
  db.createObjectStore("drafts", { keyPath: "key" });
  db.createObjectStore("facts", { keyPath: "key" });
}

function open() {
  opening ??= new Promise((resolve, reject) => {
    const request = indexedDB.open(NAME, VERSION);
    request.onupgradeneeded = () => build(request.result);
    request.onerror = () => reject(request.error);
    request.onsuccess = () => {
      const db = request.result;
      db.onversionchange = () => db.close();
      db.onclose = () => (opening = null);
      resolve(db);
    };
  });
  opening.catch(() => (opening = null));
  return opening;
}

export const answer = (request) =>
  new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });

async function run(names, mode, work) {
  const db = await open();
  const transaction = db.transaction(names, mode, { durability: "strict" });
  const stores = Object.fromEntries(names.map((name) => [name, transaction.objectStore(name)]));
  const complete = new Promise((resolve, reject) => {
    transaction.oncomplete = resolve;
    transaction.onabort = () => reject(transaction.error || new Error("The store gave up."));
  });
  try {
    const value = await work(stores);
    await complete;
    return value;
  } catch (error) {
    complete.catch(() => {});
    try {
      transaction.abort();
    } catch { /* it already has ended */ }
    throw error;
  }
}

// Resolves only when everything that `work` wrote is durable.
export const change = (names, work) => run(names, "readwrite", work);
export const look = (names, work) => run(names, "readonly", work);

export async function fact(key) {
  const found = await look(["facts"], ({ facts }) => answer(facts.get(key)));
  return found ? found.value : undefined;
}

export const setFact = (key, value) =>
  change(["facts"], ({ facts }) => answer(facts.put({ key, value })));
