// One question at a time: while it is answered only the newest is remembered, and asked then.

export class Newest {
  #send;
  #since = 0;
  #isWaiting = false;
  #isAsking = false;
  #settled = [];

  // send: asks what stands there now and shows the answer; it is told when the first change came that it answers.
  constructor(send) {
    this.#send = send;
  }

  ask(event) {
    this.#since ||= event?.timeStamp || performance.now();
    if (this.#isWaiting) return;
    this.#isWaiting = true;
    if (!this.#isAsking) queueMicrotask(() => this.#go());
  }

  async #go() {
    this.#isWaiting = false;
    this.#isAsking = true;
    const start = this.#since;
    this.#since = 0;
    try {
      await this.#send(start);
    } finally {
      this.#isAsking = false;
      if (this.#isWaiting) this.#go();
      else this.#settled.splice(0).forEach((done) => done());
    }
  }

  // Until nothing is asked any more.
  settled() {
    return this.#isAsking || this.#isWaiting ? new Promise((done) => this.#settled.push(done)) : Promise.resolve();
  }
}
