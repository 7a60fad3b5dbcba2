"""The faces: one-shot and JSON, chat, exports. They wrap and print; they decide nothing."""
