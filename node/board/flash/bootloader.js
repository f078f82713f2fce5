/** A bootloader answers earlier calls late; what is on its way then must not pass for the next answer. */
export const waitForStrayAnswers = () => new Promise((resolve) => setTimeout(resolve, 250));
//# sourceMappingURL=bootloader.js.map