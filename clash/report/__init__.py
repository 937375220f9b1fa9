"""What comes out of a judgment: findings, their words, their answers, what changed since."""
