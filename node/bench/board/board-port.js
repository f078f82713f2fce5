export {};
//# sourceMappingURL=board-port.js.map