import './styles/base.css';
import './app/app.ts';
import { restoreRoom } from './styles/room.ts';

restoreRoom();
