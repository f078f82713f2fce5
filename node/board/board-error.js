/** Thrown for what the caller must fix. What cables and boards do by themselves is a status, not an error. */
export class BoardError extends Error {
    code;
    /** Whose turn it is: the caller's to ask otherwise, or the world's. */
    blame;
    constructor(code, message, options) {
        super(message, options);
        this.name = 'BoardError';
        this.code = code;
        this.blame = code === 'bad-connection' || code === 'bad-pin' ? 'asked-wrongly' : 'could-not';
    }
}
//# sourceMappingURL=board-error.js.map