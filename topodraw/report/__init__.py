"""Answers as text and data: findings, facts, schedules."""
