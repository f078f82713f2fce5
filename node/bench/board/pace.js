import { clockHz } from './emulated-board.js';
/** Longest stretch emulated without giving the event loop a turn, in emulated seconds. */
const stretchS = 0.005;
/** Debt beyond this is forgiven: a computer that slept or is too slow lets emulated time fall behind. */
const mostDebtS = 0.25;
const restMs = 4;
/**
 * Runs an emulation by cycle debt against the wall: `speed` 1 is real time, Infinity as fast as it goes.
 * The debt is paid in whole cycles, and only when at least one is due.
 */
export function keepPace(emulation, initialSpeed) {
    let speed = initialSpeed;
    let debtCycles = 0;
    let behindS = 0;
    let lastMs = performance.now();
    let stopped = false;
    let timer;
    let immediate;
    const turn = () => {
        if (stopped)
            return;
        const nowMs = performance.now();
        const elapsedS = (nowMs - lastMs) / 1000;
        lastMs = nowMs;
        debtCycles += speed === Number.POSITIVE_INFINITY ? stretchS * clockHz : elapsedS * speed * clockHz;
        const excess = debtCycles - mostDebtS * Math.max(1, speed) * clockHz;
        if (excess > 0 && speed !== Number.POSITIVE_INFINITY) {
            behindS += excess / clockHz;
            debtCycles -= excess;
        }
        const due = Math.floor(Math.min(debtCycles, stretchS * clockHz));
        if (due >= 1) {
            const before = emulation.board.cycles;
            emulation.advanceCycles(due);
            debtCycles -= emulation.board.cycles - before;
        }
        if (debtCycles >= stretchS * clockHz || speed === Number.POSITIVE_INFINITY)
            immediate = setImmediate(turn);
        else
            timer = setTimeout(turn, restMs);
    };
    turn();
    return {
        get behindS() {
            return behindS;
        },
        setSpeed(next) {
            speed = next;
        },
        stop() {
            stopped = true;
            clearTimeout(timer);
            clearImmediate(immediate);
        },
    };
}
//# sourceMappingURL=pace.js.map