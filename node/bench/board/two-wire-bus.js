/** Eight bits and the acknowledgement. */
const clocksPerByte = 9;
/** Connects the emulator's TWI unit to the chips, with every transfer taking its time on the wires. */
export class TwoWireBus {
    #cpu;
    #twi;
    #chips;
    #clockHz;
    #nowS;
    #spoken = [];
    /** `chips` answers with the chips on the wires now, or with `held` while one of them holds a wire low. */
    constructor(cpu, twi, outside) {
        this.#cpu = cpu;
        this.#twi = twi;
        this.#clockHz = outside.clockHz;
        this.#chips = outside.chips;
        this.#nowS = outside.nowS;
    }
    start() {
        // A start condition cannot be made while a wire is held low.
        if (this.#chips() !== 'held')
            this.#after(1, () => this.#twi.completeStart());
    }
    stop() {
        for (const chip of this.#spoken)
            chip.end();
        this.#spoken = [];
        this.#after(1, () => this.#twi.completeStop());
    }
    connectToSlave(address, write) {
        this.#after(clocksPerByte, () => {
            const chips = this.#chips();
            if (chips === 'held')
                return;
            this.#spoken = chips.filter((chip) => chip.address === address && chip.begin(write, this.#nowS()));
            this.#twi.completeConnect(this.#spoken.length > 0);
        });
    }
    writeByte(value) {
        this.#after(clocksPerByte, () => {
            const acknowledged = this.#spoken.map((chip) => chip.write(value));
            this.#twi.completeWrite(acknowledged.includes(true));
        });
    }
    /** Open-drain wires: any chip that pulls a bit low wins, and an idle bus reads 0xFF. */
    readByte() {
        this.#after(clocksPerByte, () => {
            this.#twi.completeRead(this.#spoken.reduce((wires, chip) => wires & chip.read(), 0xff));
        });
    }
    #after(clocks, act) {
        this.#cpu.addClockEvent(act, Math.round((clocks * this.#clockHz) / this.#twi.sclFrequency));
    }
}
//# sourceMappingURL=two-wire-bus.js.map