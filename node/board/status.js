export {};
//# sourceMappingURL=status.js.map